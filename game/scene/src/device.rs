//! What there is to draw on, looked at before anything is opened: the engine
//! itself would panic where there is nothing.

use bevy::tasks::block_on;
use wgpu::{Backends, DeviceType, Instance, InstanceDescriptor};

/// The ways to an adapter that are tried.
pub(crate) const BACKENDS: Backends = Backends::VULKAN;

/// Something that can draw.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Adapter {
    /// Its name, as the driver gives it.
    pub name: String,
    /// It draws with the processor, slowly.
    pub is_software: bool,
}

/// What this machine has.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Machine {
    /// Graphics adapters, the one that will be used first.
    pub adapters: Vec<Adapter>,
    /// A display answers.
    pub has_display: bool,
}

/// What can be done with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Way {
    /// A window can be opened.
    Window {
        /// The adapter that draws is a slow one.
        slowly: bool,
    },
    /// There is no display to open a window on.
    NoDisplay,
    /// There is nothing that draws.
    NoAdapter,
}

impl Machine {
    /// Looks at this machine.
    pub fn look() -> Self {
        Machine {
            adapters: adapters(),
            has_display: has_display(),
        }
    }

    /// What can be done with it.
    pub fn way(&self) -> Way {
        match (self.adapters.first(), self.has_display) {
            (_, false) => Way::NoDisplay,
            (None, true) => Way::NoAdapter,
            (Some(first), true) => Way::Window {
                slowly: first.is_software,
            },
        }
    }
}

fn adapters() -> Vec<Adapter> {
    let mut wanted = InstanceDescriptor::new_without_display_handle();
    wanted.backends = BACKENDS;
    let found = block_on(Instance::new(wanted).enumerate_adapters(BACKENDS));
    let mut found: Vec<Adapter> = found
        .iter()
        .map(wgpu::Adapter::get_info)
        .map(|info| Adapter {
            is_software: info.device_type == DeviceType::Cpu,
            name: info.name,
        })
        .collect();
    // The engine takes a real one where there is one.
    found.sort_by_key(|a| a.is_software);
    found
}

fn has_display() -> bool {
    let wayland = cfg!(feature = "wayland") && std::env::var_os("WAYLAND_DISPLAY").is_some();
    wayland || std::env::var_os("DISPLAY").is_some() && x11rb::connect(None).is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn machine(software: &[bool], has_display: bool) -> Machine {
        Machine {
            adapters: software
                .iter()
                .map(|is_software| Adapter {
                    name: String::new(),
                    is_software: *is_software,
                })
                .collect(),
            has_display,
        }
    }

    #[test]
    fn a_window_needs_a_display_and_an_adapter() {
        assert_eq!(machine(&[], true).way(), Way::NoAdapter);
        assert_eq!(machine(&[false], false).way(), Way::NoDisplay);
        assert_eq!(machine(&[], false).way(), Way::NoDisplay);
        assert_eq!(machine(&[false], true).way(), Way::Window { slowly: false });
        assert_eq!(machine(&[true], true).way(), Way::Window { slowly: true });
    }
}
