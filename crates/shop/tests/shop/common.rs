//! What the tests of this crate share.

use shop::import::{self, ApplyError, Options, Outcome, Preview, ReadError, ReadOptions, Table};
use shop::{Shop, ShopError, Snapshot};

/// Reads a file with nothing stated.
pub fn read(bytes: impl AsRef<[u8]>) -> Result<Table, ReadError> {
    import::read(bytes.as_ref(), "list.csv", &ReadOptions::default())
}

/// Previews a file that can be read.
pub fn preview(shop: &Shop, bytes: impl AsRef<[u8]>) -> Preview {
    let table = read(bytes).unwrap();
    import::preview(shop, &table, &import::recognise(&table), &Options::default()).unwrap()
}

/// Imports a file that can be read.
pub fn apply(shop: &Shop, bytes: impl AsRef<[u8]>) -> Result<Outcome, ApplyError> {
    apply_with(shop, bytes, &Options::default())
}

/// Imports a file that can be read, whatever is lost.
pub fn apply_confirmed(shop: &Shop, bytes: impl AsRef<[u8]>) -> Result<Outcome, ApplyError> {
    let options = Options {
        confirmed: true,
        ..Options::default()
    };
    apply_with(shop, bytes, &options)
}

/// Imports a file that can be read, in a certain way.
pub fn apply_with(shop: &Shop, bytes: impl AsRef<[u8]>, options: &Options) -> Result<Outcome, ApplyError> {
    let table = read(bytes).unwrap();
    import::apply(shop, &table, &import::recognise(&table), options)
}

/// Everything that an import may change, to compare before and after.
pub fn state(shop: &Shop) -> Result<Snapshot, ShopError> {
    shop.snapshot()
}

/// A list of three items that is in order.
pub const LIST: &str = "\
code,shape,diameter (mm),hole (mm),thickness (mm),grade,coating,stock,price 1,price 10,price 100
14-07,disc,15,,5,N42,Ni-Cu-Ni,\"1,240\",0.95,0.80,0.65
14-08,disc,15,,3,N42,Ni-Cu-Ni,40,0.60,0.50,
20-01,ring,20,10,5,Y30,none,,0.30,,
";
