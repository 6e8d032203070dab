use crate::hands::keymap::{Binding, Deed, Keymap};
pub fn deed(deed: Deed) -> String {
    deed.id().replace('_', " ")
}
pub fn binding(binding: Binding) -> String {
    match binding {
        Binding::Key(key) => format!("{key:?}").replace("Key", ""),
        Binding::Mouse(b) => format!("Mouse {b:?}"),
        Binding::Pad(b) => format!("Pad {b:?}"),
    }
}
pub fn bound(keys: &Keymap, deed: Deed) -> String {
    keys.of(deed).next().map(binding).unwrap_or_default()
}
