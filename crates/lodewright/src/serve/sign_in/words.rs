//! The page on which people sign in: plain forms, without script.

use html_escape::encode_double_quoted_attribute as escaped;
use shop::{Person, Role};

/// A piece of HTML that may stand in the page.
pub struct Html(String);

/// The whole page of that shop.
pub fn page(shop: &str, body: &Html) -> String {
    include_str!("page.html")
        .replace("{shop}", &escaped(shop))
        .replace("{body}", &body.0)
}

fn alert(problem: Option<&str>) -> String {
    problem.map_or_else(String::new, |text| format!("<p role=\"alert\">{}</p>\n", escaped(text)))
}

/// The form to sign in.
pub fn sign_in(problem: Option<&str>) -> Html {
    Html(format!(
        "{}<form method=\"post\" action=\"/sign-in\">\n\
         <label for=\"name\">Name</label>\n\
         <input id=\"name\" name=\"name\" autocomplete=\"username\" required autofocus>\n\
         <label for=\"password\">Password</label>\n\
         <input id=\"password\" name=\"password\" type=\"password\" autocomplete=\"current-password\" required>\n\
         <button>Sign in</button>\n</form>\n\
         <p>No password yet, or forgotten? The shop's owner can send you a link.</p>",
        alert(problem)
    ))
}

/// The form on which somebody who was invited chooses a password.
pub fn join(person: &Person, token: &str, least: usize, problem: Option<&str>) -> Html {
    let may = match person.role {
        Role::Owner => "change everything",
        Role::Adviser => "do all of the day's work",
        Role::Reader => "ask and look",
    };
    Html(format!(
        "<p>Welcome, {name}. You may {may}.</p>\n{alert}<form method=\"post\" action=\"/sign-in/join\">\n\
         <input type=\"hidden\" name=\"token\" value=\"{token}\">\n\
         <input type=\"hidden\" name=\"username\" value=\"{name}\" autocomplete=\"username\">\n\
         <label for=\"password\">Choose a password, {least} letters or more</label>\n\
         <input id=\"password\" name=\"password\" type=\"password\" autocomplete=\"new-password\" \
         minlength=\"{least}\" required autofocus>\n\
         <button>Begin</button>\n</form>",
        name = escaped(&person.name),
        token = escaped(token),
        alert = alert(problem),
    ))
}

/// A link that does not serve.
pub fn no_invitation() -> Html {
    Html(
        "<p role=\"alert\">This link was used already, or is too old.</p>\n\
         <p>The shop's owner can send you another. <a href=\"/sign-in\">Sign in</a></p>"
            .into(),
    )
}

/// Who is signed in.
pub fn signed_in(person: &Person) -> Html {
    Html(format!(
        "<p>You are signed in as {}, {}.</p>\n<p><a href=\"/\">To the shop</a></p>\n\
         <form method=\"post\" action=\"/sign-in/leave\">\n<button>Sign out</button>\n</form>",
        escaped(&person.name),
        person.role.name()
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_people_are_called_cannot_write_html() {
        let person = Person {
            name: "<script>alert(\"1\")</script>".into(),
            role: Role::Owner,
        };
        let text = page("<b>", &join(&person, "\"><script>", 10, Some("<i>")));
        for bad in ["<script", "<b>", "<i>"] {
            assert!(!text.contains(bad), "{text}");
        }
    }
}
