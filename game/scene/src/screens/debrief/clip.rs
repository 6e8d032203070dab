//! Text put where other programs find it.
//!
//! The display keeps no text itself: whoever put it there is asked for it each
//! time. A thread of its own answers until somebody else puts something there.

use std::error::Error;
use x11rb::connection::Connection;
use x11rb::protocol::Event;
use x11rb::protocol::xproto::{
    Atom, AtomEnum, ConnectionExt as _, CreateWindowAux, EventMask, PropMode,
    SELECTION_NOTIFY_EVENT, SelectionNotifyEvent, SelectionRequestEvent, Window, WindowClass,
};
use x11rb::rust_connection::RustConnection;
use x11rb::wrapper::ConnectionExt as _;

/// Puts a text there; says whether it could be.
pub(super) fn put(text: &str) -> bool {
    let Ok(keeper) = Keeper::of(text) else {
        return false;
    };
    let thread = std::thread::Builder::new().name(String::from("clipboard"));
    thread
        .spawn(move || {
            // Whoever asks after the display has gone gets no answer.
            keeper.answer().ok();
        })
        .is_ok()
}

struct Keeper {
    display: RustConnection,
    window: Window,
    text: String,
    targets: Atom,
    utf8: Atom,
}

impl Keeper {
    fn of(text: &str) -> Result<Self, Box<dyn Error>> {
        let (display, screen) = x11rb::connect(None)?;
        let root = display.setup().roots.get(screen).ok_or("no screen")?.root;
        let window = display.generate_id()?;
        let form = CreateWindowAux::new();
        let input = WindowClass::INPUT_ONLY;
        display.create_window(0, window, root, 0, 0, 1, 1, 0, input, 0, &form)?;
        let atom = |name: &[u8]| -> Result<Atom, Box<dyn Error>> {
            Ok(display.intern_atom(false, name)?.reply()?.atom)
        };
        let (clipboard, targets, utf8) = (
            atom(b"CLIPBOARD")?,
            atom(b"TARGETS")?,
            atom(b"UTF8_STRING")?,
        );
        display.set_selection_owner(window, clipboard, x11rb::CURRENT_TIME)?;
        if display.get_selection_owner(clipboard)?.reply()?.owner != window {
            return Err("another keeps it".into());
        }
        Ok(Keeper {
            display,
            window,
            text: text.to_owned(),
            targets,
            utf8,
        })
    }

    fn answer(&self) -> Result<(), Box<dyn Error>> {
        loop {
            match self.display.wait_for_event()? {
                Event::SelectionClear(gone) if gone.owner == self.window => return Ok(()),
                Event::SelectionRequest(asked) => self.hand_over(&asked)?,
                _ => {}
            }
        }
    }

    fn hand_over(&self, asked: &SelectionRequestEvent) -> Result<(), Box<dyn Error>> {
        let Keeper { display, .. } = self;
        // Old programs name no place, and mean the one called as the target.
        let place = match asked.property {
            x11rb::NONE => asked.target,
            place => place,
        };
        let (replace, to) = (PropMode::REPLACE, asked.requestor);
        let mut given = place;
        if asked.target == self.targets {
            let known = [self.targets, self.utf8, AtomEnum::STRING.into()];
            display.change_property32(replace, to, place, AtomEnum::ATOM, &known)?;
        } else if asked.target == self.utf8 || asked.target == Atom::from(AtomEnum::STRING) {
            display.change_property8(replace, to, place, asked.target, self.text.as_bytes())?;
        } else {
            given = x11rb::NONE;
        }
        let told = SelectionNotifyEvent {
            response_type: SELECTION_NOTIFY_EVENT,
            sequence: 0,
            time: asked.time,
            requestor: to,
            selection: asked.selection,
            target: asked.target,
            property: given,
        };
        display.send_event(false, to, EventMask::NO_EVENT, told)?;
        display.flush()?;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What another program gets that asks for the text.
    fn asked_for() -> Result<String, Box<dyn Error>> {
        let (display, screen) = x11rb::connect(None)?;
        let root = display.setup().roots[screen].root;
        let window = display.generate_id()?;
        let form = CreateWindowAux::new();
        let input = WindowClass::INPUT_ONLY;
        display.create_window(0, window, root, 0, 0, 1, 1, 0, input, 0, &form)?;
        let atom = |name: &[u8]| {
            display
                .intern_atom(false, name)
                .unwrap()
                .reply()
                .unwrap()
                .atom
        };
        let (clipboard, utf8, place) = (atom(b"CLIPBOARD"), atom(b"UTF8_STRING"), atom(b"PLACE"));
        display.convert_selection(window, clipboard, utf8, place, x11rb::CURRENT_TIME)?;
        display.flush()?;
        loop {
            if let Event::SelectionNotify(told) = display.wait_for_event()? {
                assert_eq!(told.property, place);
                break;
            }
        }
        let reply = display.get_property(false, window, place, utf8, 0, 1024)?;
        Ok(String::from_utf8(reply.reply()?.value)?)
    }

    #[test]
    fn what_was_put_there_last_is_what_others_find() {
        if x11rb::connect(None).is_err() {
            assert!(!put("nobody could find it"));
            return;
        }
        assert!(put("an earlier one"));
        assert!(put("/a/päth with spaces"));
        assert_eq!(asked_for().unwrap(), "/a/päth with spaces");
    }
}
