//! What receiver and head-pressure valve make of the pipe from the condenser.

use crate::job::{HeadPressureAt, HeadPressureMethod, ReceiverAt, Set};

/// How the pipe from the condenser to the head, or to the receiver there, flows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Flows {
    /// Full of liquid: a full return.
    Full,
    /// Condensate runs down beside the gas above it: a free drain.
    Drains,
    /// Either, as the maker built it.
    AsBuilt,
}

/// Common practice, no source: below a receiver, or without one, the pipe is full; a flooding valve at the head holds the
/// liquid back in condenser and pipe; one at the condenser lets condensate and bypassed gas down together; without such a
/// valve both are built.
pub(super) fn flows(set: &Set) -> Flows {
    let valve = match set.head_pressure.method.value {
        HeadPressureMethod::FloodingValve => set.head_pressure.at.map(|at| at.value),
        _ => None,
    };
    match (set.receiver_at.value, valve) {
        (ReceiverAt::Condenser | ReceiverAt::None, _) | (_, Some(HeadPressureAt::Head)) => Flows::Full,
        (ReceiverAt::Head, Some(HeadPressureAt::Condenser)) => Flows::Drains,
        (ReceiverAt::Head, None) => Flows::AsBuilt,
    }
}
