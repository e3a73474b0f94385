# Messages to customers, in English. A second language is another file beside this one, with the same names.
# { $names } are filled in; a term in -95 stands for the share of pieces that a band covers.

-share = 95 %

greeting = Hello,
closing = Kind regards

subject-choose = Your enquiry: { $question }
subject-tell = Your question about { $magnet }
subject-compare = The magnets side by side
subject-explain = { $title }
subject-refuse = Your enquiry
subject-quotation = Quotation { $number }

opening = Thank you for your enquiry: { $question }.
opening-short = Thank you for your enquiry.
thanks = Thank you for your question.

# Where something is missing, questions back with their usual answers.
please-tell = Before we can name the right magnet we need to know:
ask-with = { $question } (such as: { $answers })
not-sure = If you are not sure, a photo of the place with a ruler in it often tells.

suggest = { $count ->
    [one] We suggest:
   *[other] We suggest one of these:
}
nearest = Nothing on our shelf surely does this. The nearest:
nothing = We have nothing on the shelf that does this.
would-do = What would do:

# One build offered.
offer = { $best ->
    [none] { $title } ({ $code }): { $does }. { $cost }
   *[other] { $best }: { $title } ({ $code }), { $does }. { $cost }
}

# What a build does, by the verb of the question.
does = { $verb ->
    [hold] holds { $value }; { -share } of pieces hold { $range }
    [pull_together] two pull with { $value } across { $gap }; { -share } of pairs pull { $range }
    [push_apart] two push with { $value } across { $gap }; { -share } of pairs push { $range }
    [reach_field] gives { $value } at { $gap }; { -share } of pieces give { $range }
    [switch_sensor] gives { $value } at { $gap }; { -share } of pieces give { $range }
   *[face_field] has { $value } at its face; { -share } of pieces have { $range }
}
# Several share one load: what each surely holds.
does-shared = each surely holds { $low } of the { $need } that it must

# Goods that are sold as they come; nothing is computed for them.
stated = Also sold, by its maker's stated pull, not computed: { $title } ({ $code }), { $pull } where { $need } is needed; { $cost }.
stated-no-price = price on request
stated-less = Steel or layers take from it: try one first.

cost =
    { $shared ->
        [1] { $total } for { $pieces } ({ $each } each), { $stock }.
       *[other] { $total } for { $pieces } ({ $each } for { $shared } that share a load), { $stock }.
    }
no-price = Price on request, { $stock }.
would-be = Of all pieces { $chance } would do.

# What a build must reach.
needed = { $verb ->
    [hold] Needed is { $need }: { $load } with a safety factor of { $factor }.
   *[other] Needed is { $need }.
}
needed-shared = Needed is { $need } each: { $load } with a safety factor of { $factor }, shared by { $shared }.
assumed = Assumed: { $what }.
mind = Please mind: { $what } ({ $rule })

# What to ask or try, by what was taken for granted.
ask-steel = Please tell us how thick the steel is: thin sheet holds less.
ask-layers = Please tell us whether the steel is painted: a thin coat takes part of the pull.
ask-warmest = Please tell us how warm it gets if it is above room temperature.
ask-friction = Sideways it holds by friction alone: please try one on your own surface first.
ask-pieces = Please tell us how many you need: the price depends on it.
try-one = Please try one in its place before you order all.
which-limit = Please tell us which of your limits may move.

# A figure of a magnet.
figure = { $label }: { $value }
figure-range = { $label }: { $value } ({ -share } of pieces: { $range })
side = { $title }: { $figures }
instead = What would do instead:

# On paper.
page-of = page { $page } of { $pages }
paper-answer = Which magnet will do
paper-made = stock of { $day }, shelf revision { $revision }, { $program }
paper-asked = Asked
paper-need = What is needed
paper-best = What we suggest
paper-others = What else would do
paper-nothing = What would do
paper-because = Because
paper-assumed = What was assumed
paper-mind = What to mind
paper-scale = Scale { $scale }, over the coating. Arrow: magnetised this way.
paper-magnet = magnet
paper-value = value
paper-range = { -share } of pieces
paper-margin = margin
paper-each = each
paper-total = in all
paper-stock = stock
paper-size = size
paper-price = price
paper-stated = Also sold, by the maker's stated pull
paper-goods = goods
paper-stated-pull = stated pull
paper-needed = needed
paper-stated-note = Stated by the maker for thick bare steel, not computed here.
paper-stated-less = Steel or layers take from it here: try a sample first.
paper-method = Bands hold { -share } of pieces and are computed, not measured on your parts: try one first. Local codes and qualified people decide where people could be hurt.
paper-facts = What is known of it
paper-prices = Price
paper-from = from pieces
paper-figures = Figures of the curves
paper-item-code = Code { $code }

# A quotation.
quotation = Quotation
quotation-number = { $number }, issue { $issue }
quotation-for = For
quotation-reference = Your reference
quotation-date = Date
quotation-valid = Valid until
quotation-pieces = pieces
quotation-each = each
quotation-together = together
quotation-mass = mass
quotation-total = Total
quotation-no-price = price on request
quotation-in-all = In all { $total } for the quantities in strong type; { $mass }.
quotation-part-priced = { $count ->
    [one] One line has no price and is not counted.
   *[other] { $count } lines have no price and are not counted.
}
quotation-transport = Transport
quotation-terms = Terms
quotation-air-ordinary = By air: packed all one way this stays below 0.2 µT at 2.1 m, an ordinary parcel; the carrier decides (UN 2807; IATA Packing Instruction 953).
quotation-air-magnetised = By air: packed all one way this may count as magnetised material; it is packed alternately with steel and measured, or goes by road (UN 2807; IATA Packing Instruction 953; 49 CFR 173.21(d)).
quotation-by-air = by air
quotation-line-ordinary = ordinary parcel
quotation-line-magnetised = may be magnetised material, UN 2807
quotation-code = code
quotation-what = what
quotation-does = what it does
quotation-quantity = quantity
quotation-line = line

# On the packing slip of a parcel.

slip = Packing slip
slip-content = Content
slip-code = code
slip-pieces = pieces
slip-mass = mass
slip-steps = How to pack it
slip-parcel = The parcel
slip-rules = Held against the rules of air transport
slip-rule = rule
slip-at = measured at
slip-limit = limit
slip-field = field
slip-most = at most
slip-verdict = so it is
slip-measured = Measured on the packed parcel
slip-measured-line = Most at 2.1 m: _________ µT, at 4.5 m: _________ µT, with: ______________, by: ______________, on: __________

# In the table of a whole shelf. What is measured or computed has its unit behind it.

yes = yes
no = no
table-code = code
table-shape = shape
table-size = size
table-grade = grade
table-coating = coating
table-face = field at the face
table-field = field at { $at }
table-thick = thick
table-pull = pull on { $steel } steel, gap { $gap }
table-low = 95 % from
table-high = 95 % to
table-moment = moment
table-mass = mass
table-warmest = max. working temperature
table-small-part = small part (16 CFR 1501.4)
table-flux-index = flux index of a small part, limit 50
table-toys = in toys; an accredited laboratory decides
table-toys-excluded = not as a loose part
table-toys-small = small part below the limit
table-toys-large = no small part by itself
table-implants = keep from implants at least
table-air = one piece by air, its field; the carrier decides
table-air-free = unrestricted
table-air-ask = ask the carrier
table-air-declared = magnetised material, UN 2807
table-air-never = not without approval
table-air-most = most pieces unrestricted by air, packed one way
table-remark = remark
table-unknown = its grade or coating is not known

# In lists to take away: candidates of an answer, rungs of a ladder, magnets side by side.

list-code = code
list-part = steel part
list-low = low
list-high = high
list-chance = chance
list-sure = sure
list-middle = only in the middle
list-price-each = price each
list-price-all = price for all
list-unbeaten = unbeaten
list-over-first = over the first, times
list-mass-multiple = mass over the first, times
list-cost-multiple = cost over the first, times
list-verdict = verdict
list-pays = pays
list-knee = the knee
list-past = past the knee

# On the paper of a ladder.

ladder = What the next step buys
ladder-staircase = Each rung is as high as its value and as wide as what it costs more; the line in it is its band, the dashed line what physics sets.
ladder-rung = rung
ladder-made-of = of
ladder-band = { -share }
ladder-gain = gain
ladder-mass = mass
ladder-cost = cost
ladder-per-money = gain per money
ladder-solid-or-stack = One solid piece, or a stack of the same height
ladder-height = height
ladder-solid = solid
ladder-stacked = stacked
ladder-loss = plating's loss

# On the paper of the table as measured.

measured = As measured
measured-none = No readings yet.
measured-magnet = magnet
measured-place = place
measured-read = read
measured-mean = measured
measured-predicted = predicted
measured-band = { -share } of readings
measured-off = off
measured-outside = outside

# On the paper of what is told, compared and explained.

told-tell = What is told of it
told-compare = Side by side
told-explain = A standing question
told-refuse = What cannot be done
told-figure = figure
told-better = Strong: the better of its row. In brackets: { -share } of pieces lie between.
told-instead = What would do
told-figures = Figures

# Where lessons are published.

lessons = Lessons
