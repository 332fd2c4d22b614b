//! Hours of a year, and those that are missing.

use std::fmt;

const MONTHS: [(&str, u8); 12] = [
    ("January", 31),
    ("February", 29),
    ("March", 31),
    ("April", 30),
    ("May", 31),
    ("June", 30),
    ("July", 31),
    ("August", 31),
    ("September", 30),
    ("October", 31),
    ("November", 30),
    ("December", 31),
];

/// An hour of a year in standard time: hour 1 ends at 01:00, hour 24 at midnight of the same day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct HourOfYear {
    month: u8,
    day: u8,
    hour: u8,
}

impl HourOfYear {
    /// Month from 1, day from 1, hour from 1 to 24. None where there is no such hour; 29 February exists.
    #[must_use]
    pub fn new(month: u8, day: u8, hour: u8) -> Option<Self> {
        let (_, days) = MONTHS.get(usize::from(month.checked_sub(1)?))?;
        ((1..=*days).contains(&day) && (1..=24).contains(&hour)).then_some(Self { month, day, hour })
    }

    /// Month, 1 to 12.
    #[must_use]
    pub fn month(self) -> u8 {
        self.month
    }

    /// Day of the month, from 1.
    #[must_use]
    pub fn day(self) -> u8 {
        self.day
    }

    /// Hour of the day, 1 to 24.
    #[must_use]
    pub fn hour(self) -> u8 {
        self.hour
    }

    pub(super) fn is_leap_day(self) -> bool {
        (self.month, self.day) == (2, 29)
    }

    /// All hours of a leap year in their order.
    pub(super) fn all() -> impl Iterator<Item = Self> {
        (1..).zip(MONTHS).flat_map(|(month, (_, days))| {
            (1..=days).flat_map(move |day| (1..=24).map(move |hour| Self { month, day, hour }))
        })
    }
}

/// `14 July 05:00`: when the hour ends.
impl fmt::Display for HourOfYear {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = MONTHS.get(usize::from(self.month) - 1).map_or("", |(name, _)| name);
        write!(formatter, "{} {name} {:02}:00", self.day, self.hour)
    }
}

/// Hours in a row that are missing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// The first.
    pub from: HourOfYear,
    /// How many; at least 1.
    pub hours: u32,
}

/// `3 hours from 14 July 05:00`.
impl fmt::Display for Gap {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hours = if self.hours == 1 { "hour" } else { "hours" };
        write!(formatter, "{} {hours} from {}", self.hours, self.from)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(month: u8, day: u8, hour: u8) -> HourOfYear {
        HourOfYear::new(month, day, hour).unwrap()
    }

    #[test]
    fn a_leap_year_has_8784_hours_in_order() {
        let all: Vec<_> = HourOfYear::all().collect();
        assert_eq!(all.len(), 8784);
        assert!(all.is_sorted_by(|a, b| a < b));
        assert_eq!(all.iter().filter(|hour| hour.is_leap_day()).count(), 24);
        assert_eq!((all[0], all[8783]), (at(1, 1, 1), at(12, 31, 24)));
        assert!(all.iter().all(|hour| *hour == at(hour.month(), hour.day(), hour.hour())));
    }

    #[test]
    fn hours_that_do_not_exist_are_none() {
        for (month, day, hour) in
            [(0, 1, 1), (13, 1, 1), (1, 0, 1), (1, 32, 1), (2, 30, 1), (4, 31, 1), (1, 1, 0), (1, 1, 25)]
        {
            assert_eq!(HourOfYear::new(month, day, hour), None, "{month} {day} {hour}");
        }
    }

    #[test]
    fn hours_and_gaps_are_printed_for_people() {
        assert_eq!(at(7, 14, 5).to_string(), "14 July 05:00");
        assert_eq!(Gap { from: at(1, 1, 24), hours: 1 }.to_string(), "1 hour from 1 January 24:00");
        assert_eq!(Gap { from: at(12, 31, 1), hours: 3 }.to_string(), "3 hours from 31 December 01:00");
    }
}
