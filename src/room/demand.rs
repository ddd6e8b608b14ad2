//! What comes into the room, with indices for names and moments for times of day.

use crate::room::keys::name_key;
use crate::room::law::{Law, RandomTime};
use crate::room::time::Hours;
use crate::room::time::Time;
use crate::scenario::model::{self, Arrivals, Guests, Scenario, Style};

/// All that comes.
#[derive(Debug, Clone)]
pub struct Demand {
    /// Factor of one evening on all that is expected, beyond chance.
    pub busyness: Law,
    /// Guests, if covers are counted.
    pub guests: Option<GuestDemand>,
    /// What each cover uses.
    pub menu: Vec<MenuUse>,
    /// Streams of soiled ware.
    pub streams: Vec<SoiledArrivals>,
    /// Logged soiled ware, in time.
    pub log: Vec<Logged>,
    /// Ware that stands there at the start.
    pub backlog: Vec<Backlog>,
    /// Clean ware that is brought.
    pub deliveries: Vec<Delivery>,
}

/// Guests.
#[derive(Debug, Clone)]
pub struct GuestDemand {
    /// How ware leaves the tables: course by course, in one wave, or carried by the guests.
    pub style: Style,
    /// Whether nothing varies in how parties arrive.
    pub even: bool,
    /// The curve, interval by interval.
    pub seatings: Vec<Seating>,
    /// Parties as logged.
    pub log: Vec<Party>,
    /// Parties that are booked.
    pub booked: Vec<Booked>,
    /// Seats, if they are counted.
    pub seats: Option<u32>,
    /// A party waits at most so long for them; `None`: as long as it takes.
    pub seat_wait: Option<Time>,
    /// Party sizes with cumulative probability, the last 1.
    pub sizes: Vec<(u32, f64)>,
    /// Mean covers of a party.
    pub mean_size: f64,
    /// Dwell of one or two covers.
    pub dwell: RandomTime,
    /// Seconds more for each cover above two.
    pub dwell_per_extra_cover_s: f64,
}

/// An interval of the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seating {
    /// Names it to the random streams.
    pub key: u64,
    /// Start of the interval.
    pub from: Time,
    /// End of the interval.
    pub to: Time,
    /// Covers expected in that time.
    pub covers: f64,
}

/// A logged party.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Party {
    /// Moment at which the party sits down.
    pub seated: Time,
    /// How many they are.
    pub covers: u32,
    /// Its dwell, if logged.
    pub dwell: Option<Time>,
}

/// A party that is booked.
#[derive(Debug, Clone)]
pub struct Booked {
    /// Names it to the random streams.
    pub key: u64,
    /// When it sits down.
    pub at: Time,
    /// How many they are.
    pub covers: u32,
    /// Time at the table.
    pub stays: RandomTime,
}

/// A use of ware.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MenuUse {
    /// Names it to the random streams.
    pub key: u64,
    /// Index of the ware.
    pub ware: usize,
    /// Index of the soil.
    pub soil: usize,
    /// Pieces per cover.
    pub per_cover: f64,
    /// Fraction of the dwell at which it is laid.
    pub laid: f64,
    /// Fraction at which it is soiled.
    pub cleared: f64,
}

/// A stream of soiled ware.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SoiledArrivals {
    /// Names it to the random streams.
    pub key: u64,
    /// Index of the ware.
    pub ware: usize,
    /// Index of the soil.
    pub soil: usize,
    /// Start of the interval.
    pub from: Time,
    /// End of the interval.
    pub to: Time,
    /// Pieces expected in that time.
    pub pieces: f64,
    /// Pieces that arrive together.
    pub at_a_time: u32,
    /// Whether evenly spaced.
    pub even: bool,
}

/// A logged arrival of soiled ware.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Logged {
    /// Moment at which it reaches the drop-off.
    pub at: Time,
    /// Index of the ware.
    pub ware: usize,
    /// Index of the soil.
    pub soil: usize,
    /// Pieces.
    pub pieces: u32,
}

/// Ware that stands there at the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Backlog {
    /// Names it to the random streams.
    pub key: u64,
    /// Index of the ware.
    pub ware: usize,
    /// Index of the soil.
    pub soil: usize,
    /// Pieces.
    pub pieces: u32,
    /// How long ago it was soiled.
    pub age: Time,
}

/// Clean ware that is brought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Delivery {
    /// When.
    pub at: Time,
    /// Index of the ware.
    pub ware: usize,
    /// Pieces.
    pub pieces: u32,
}

impl Demand {
    pub(super) fn of(scenario: &Scenario, hours: &Hours) -> Self {
        let ware = |name: &str| ware_index(scenario, name);
        let soil = |name: &str| soil_index(scenario, name);
        let menu = scenario.menu.iter().map(|row| MenuUse {
            key: name_key(&row.name),
            ware: ware(&row.ware),
            soil: soil(&row.soil),
            per_cover: row.per_cover,
            laid: row.laid,
            cleared: row.cleared,
        });
        let streams = scenario.soiled.iter().map(|row| SoiledArrivals {
            key: name_key(&row.name),
            ware: ware(&row.ware),
            soil: soil(&row.soil),
            from: hours.moment(row.from_s),
            to: hours.moment(row.to_s),
            pieces: row.pieces,
            at_a_time: row.at_a_time.max(1),
            even: row.arrivals == Arrivals::Even,
        });
        let backlog = scenario.backlog.iter().map(|row| Backlog {
            key: name_key(&row.name),
            ware: ware(&row.ware),
            soil: soil(&row.soil),
            pieces: row.pieces,
            age: Time::from_s(row.age_s),
        });
        let deliveries = scenario.delivery.iter().map(|row| Delivery {
            at: hours.moment(row.at_s),
            ware: ware(&row.ware),
            pieces: row.pieces,
        });
        let cv = scenario.service.busyness_cv;
        let busyness = if cv > 0.0 {
            Law::Gamma(1.0 / (cv * cv))
        } else {
            Law::Fixed
        };
        Self {
            busyness,
            guests: scenario
                .guests
                .as_ref()
                .map(|guests| GuestDemand::of(guests, &scenario.party, hours)),
            menu: menu.collect(),
            streams: streams.collect(),
            log: logged(scenario, hours),
            backlog: backlog.collect(),
            deliveries: deliveries.collect(),
        }
    }
}

fn logged(scenario: &Scenario, hours: &Hours) -> Vec<Logged> {
    let Some(log) = &scenario.soiled_log else {
        return Vec::new();
    };
    let soil = soil_index(scenario, &log.soil);
    let rows = log.rows.iter().map(|row| Logged {
        at: hours.moment(row.time_s),
        ware: ware_index(scenario, &row.ware),
        soil,
        pieces: row.pieces,
    });
    rows.collect()
}

impl GuestDemand {
    fn of(guests: &Guests, bookings: &[model::Booking], hours: &Hours) -> Self {
        let booked = bookings.iter().map(|row| Booked {
            key: name_key(&row.name),
            at: hours.moment(row.at_s),
            covers: row.covers,
            stays: RandomTime::of(&row.stays),
        });
        let total: f64 = guests.party_sizes.iter().map(|size| size.weight).sum();
        let mut sum = 0.0;
        let mut sizes = Vec::new();
        let mut mean_size = 0.0;
        for size in &guests.party_sizes {
            sum += size.weight;
            sizes.push((size.covers, sum / total));
            mean_size += f64::from(size.covers) * size.weight / total;
        }
        Self {
            style: guests.style,
            even: guests.arrivals == Arrivals::Even,
            seatings: guests
                .seating
                .iter()
                .enumerate()
                .map(|(index, seating)| Seating {
                    key: seating_key(&guests.seating[..index], seating.from_s),
                    from: hours.moment(seating.from_s),
                    to: hours.moment(seating.to_s),
                    covers: seating.covers,
                })
                .collect(),
            log: guests
                .log
                .iter()
                .map(|party| Party {
                    seated: hours.moment(party.seated_at_s),
                    covers: party.covers,
                    dwell: party
                        .left_at_s
                        .map(|left| Time::from_s(left - party.seated_at_s)),
                })
                .collect(),
            booked: booked.collect(),
            seats: guests.seats,
            seat_wait: guests.seat_wait_at_most_s.map(Time::from_s),
            sizes,
            mean_size: if mean_size > 0.0 { mean_size } else { 1.0 },
            dwell: RandomTime::of(&guests.dwell),
            dwell_per_extra_cover_s: guests.dwell_per_extra_cover_s,
        }
    }
}

/// The time of day names an interval, so that others may come and go around it; of several that begin
/// together, the second and later differ by their number.
fn seating_key(before: &[model::Seating], from_s: f64) -> u64 {
    let twins = before.iter().filter(|other| other.from_s == from_s).count();
    if twins == 0 {
        from_s.to_bits()
    } else {
        name_key(&format!("{from_s} {twins}"))
    }
}

fn ware_index(scenario: &Scenario, name: &str) -> usize {
    index(scenario.ware.iter().map(|ware| &ware.name), name)
}

fn soil_index(scenario: &Scenario, name: &str) -> usize {
    index(scenario.soil.iter().map(|soil| &soil.name), name)
}

/// Index of a name that the check has found to exist.
fn index<'a>(mut names: impl Iterator<Item = &'a String>, name: &str) -> usize {
    names.position(|candidate| candidate == name).unwrap_or(0)
}
