//! Colours and type of every chart. Colours follow the palette of Okabe and Ito (2008), which
//! colour-blind eyes can distinguish; neighbours also differ in lightness and hatching, for grey print.

use super::scene::Type;
use crate::scenario::model::Duty;
use plotters::style::RGBColor;

/// Text.
pub const INK: RGBColor = RGBColor(0x22, 0x22, 0x22);
/// Lesser text.
pub const GREY: RGBColor = RGBColor(0x55, 0x55, 0x55);
/// Grid lines.
pub const GRID: RGBColor = RGBColor(0xE2, 0xE2, 0xE2);
/// Axis and marks of opening and closing.
pub const AXIS: RGBColor = RGBColor(0x77, 0x77, 0x77);
/// The busiest hour.
pub const PEAK: RGBColor = RGBColor(0xF3, 0xF1, 0xEA);
/// Ground, and the seams of stacked areas.
pub const WHITE: RGBColor = RGBColor(0xFF, 0xFF, 0xFF);
/// Medians.
pub const LINE: RGBColor = RGBColor(0x00, 0x5A, 0x8C);
/// What has to be kept.
pub const LEAST: RGBColor = RGBColor(0xD5, 0x5E, 0x00);
/// Medians of what is compared with.
pub const BASE_LINE: RGBColor = RGBColor(0xD5, 0x5E, 0x00);
/// People who are needed, and there.
pub const NEEDED: RGBColor = RGBColor(0x8F, 0xC7, 0xEA);
/// Bands.
pub const BAND: RGBColor = RGBColor(0xBC, 0xDD, 0xF2);

/// The title.
pub const TITLE: Type = Type {
    em: 29.0,
    bold: true,
    color: INK,
};
/// The scenario under it.
pub const SUBTITLE: Type = Type {
    em: 20.0,
    bold: false,
    color: GREY,
};
/// Headings of panels.
pub const HEADING: Type = Type {
    em: 18.0,
    bold: true,
    color: INK,
};
/// Units, ticks, captions.
pub const NOTE: Type = Type {
    em: 18.0,
    bold: false,
    color: GREY,
};

/// Where a chart is from.
pub const SMALL: Type = Type {
    em: 12.0,
    bold: false,
    color: GREY,
};

/// A texture over a colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hatch {
    /// None.
    Plain,
    /// Upright lines.
    Upright,
    /// Level lines.
    Level,
    /// Slanting lines.
    Slant,
}

/// How an area is filled.
#[derive(Debug, Clone, Copy)]
pub struct Fill {
    /// Ground.
    pub color: RGBColor,
    /// Texture.
    pub hatch: Hatch,
    /// Colour of the texture.
    pub lines: RGBColor,
}

const fn fill(color: u32, hatch: Hatch, lines: u32) -> Fill {
    Fill {
        color: rgb(color),
        hatch,
        lines: rgb(lines),
    }
}

const fn rgb(hex: u32) -> RGBColor {
    RGBColor((hex >> 16) as u8, (hex >> 8) as u8, hex as u8)
}

/// Walking.
pub const WALKING: Fill = fill(0x44_44_44, Hatch::Plain, 0);
/// Free.
pub const FREE: Fill = fill(0xEC_EC_EC, Hatch::Plain, 0);
/// On a break.
pub const ON_BREAK: Fill = fill(0xB0_B0_B0, Hatch::Slant, 0xFF_FF_FF);
/// A machine running with racks inside.
pub const RUNNING: Fill = fill(0x00_72_B2, Hatch::Plain, 0);
/// A machine running empty.
pub const EMPTY: Fill = fill(0xA6_D4_F0, Hatch::Upright, 0xFF_FF_FF);
/// A machine stopped.
pub const STOPPED: Fill = fill(0xD5_5E_00, Hatch::Slant, 0xFF_FF_FF);
/// A machine held for a cold final rinse.
pub const HELD: Fill = fill(0xCC_79_A7, Hatch::Upright, 0xFF_FF_FF);
/// A machine whose water is changed.
pub const REFILLING: Fill = fill(0x00_9E_73, Hatch::Level, 0xFF_FF_FF);
/// A machine holding a finished rack until somebody comes.
pub const WAITING: Fill = fill(0xF2_B1_34, Hatch::Level, 0xFF_FF_FF);
/// A machine that a fault keeps standing.
pub const DOWN: Fill = fill(0xA5_0F_15, Hatch::Level, 0xFF_FF_FF);
/// A machine not set up yet, or closed down.
pub const OFF: Fill = fill(0x70_70_70, Hatch::Plain, 0);
/// A machine idle.
pub const IDLE: Fill = FREE;

/// The fill of a duty; neighbours in the order of the ware differ in lightness.
pub const fn of_duty(duty: Duty) -> Fill {
    match duty {
        Duty::ClearDown => fill(0x56_B4_E9, Hatch::Plain, 0),
        Duty::Scrape => fill(0x00_72_B2, Hatch::Plain, 0),
        Duty::PreRinse => fill(0xF0_E4_42, Hatch::Level, 0x80_78_00),
        Duty::Soak => fill(0xD5_5E_00, Hatch::Slant, 0xFF_FF_FF),
        Duty::WashPots => fill(0x8C_51_0A, Hatch::Level, 0xFF_FF_FF),
        Duty::Load => fill(0xF2_B1_34, Hatch::Plain, 0),
        Duty::Hood => fill(0x00_4D_40, Hatch::Plain, 0),
        Duty::Unload => fill(0x00_9E_73, Hatch::Upright, 0xFF_FF_FF),
        Duty::PutAway => fill(0xF0_C3_DA, Hatch::Level, 0xA0_4A_78),
        Duty::SetUp => fill(0x8C_6B_B1, Hatch::Plain, 0),
        Duty::Tend => fill(0xA5_0F_15, Hatch::Upright, 0xFF_FF_FF),
        Duty::CloseDown => fill(0x54_27_8F, Hatch::Slant, 0xFF_FF_FF),
    }
}
