//! Going down without having lost one's balance.

use super::{Body, BodyEvents};

impl Body {
    /// Lets the body go down where it stands: somebody is hurt. Says whether it stood before.
    pub fn knock_down(&mut self) -> bool {
        if self.is_fallen() {
            return false;
        }
        self.fall(&mut BodyEvents::default());
        true
    }
}
