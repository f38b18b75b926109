//! `ovolo bend`: will a moulding go round a curve, and which way?

use super::{Common, Done, context, say};
use clap::{Args, ValueEnum};
use ovolo::diagnostic::{Diagnostic, Failure};
use ovolo::drawing::bend_text;
use ovolo::geometry::CircularSegment;
use ovolo::layout::bend::{Advice, BendJob, Board, Finish, Wood, assess, is_hardwood};
use ovolo::report::bend_json;
use ovolo::shop::Material;
use ovolo::units::{Shown, Unit, parse_angle, parse_length};

#[derive(Args, Debug)]
#[command(
    allow_negative_numbers = true,
    after_help = "\
Exit status: 0 one way is advised; 1 none of them goes; 2 the input is wrong."
)]
pub(super) struct BendArgs {
    /// Thickness of the moulding: its projection from the curve
    #[arg(long, value_name = "LENGTH")]
    thickness: String,
    /// Radius of the moulding's back: of the curve that it is fixed to
    #[arg(long, value_name = "LENGTH")]
    radius: String,
    /// Wood of the moulding
    #[arg(long, value_name = "NAME")]
    species: String,
    /// Angle of the curve
    #[arg(long, value_name = "DEGREES", default_value = "90", conflicts_with = "chord")]
    sweep: String,
    /// Straight distance between the ends of the curve, instead of its angle
    #[arg(long, value_name = "LENGTH")]
    chord: Option<String>,
    /// Board on hand to mill it from
    #[arg(long, value_name = "L,W,T", requires = "height")]
    board: Option<String>,
    /// Height of the moulding, across the bend: what the board's thickness must hold
    #[arg(long, value_name = "LENGTH")]
    height: Option<String>,
    /// Share of the wood's breaking strain that may be used
    #[arg(long, value_name = "SHARE", default_value_t = ovolo::layout::bend::USUAL_SHARE)]
    share: f64,
    /// Width of the saw's cut
    #[arg(long, value_name = "LENGTH", default_value = "1/8 in")]
    saw_kerf: String,
    /// Wood left over saw kerfs [default: 1/8 in]
    #[arg(long, value_name = "LENGTH")]
    skin: Option<String>,
    /// How it is finished
    #[arg(long, value_enum, default_value = "paint")]
    finish: Finished,
    /// Unit of bare numbers here, and of what is shown [default: the shop file's]
    #[arg(long, value_name = "mm|in", value_parser = unit)]
    units: Option<Unit>,
    #[command(flatten)]
    pub(super) common: Common,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Finished {
    /// Painted
    Paint,
    /// Clear, oiled or stained
    Clear,
}

fn unit(text: &str) -> Result<Unit, String> {
    match text {
        "mm" => Ok(Unit::Mm),
        "in" => Ok(Unit::In),
        _ => Err("mm or in".to_string()),
    }
}

pub(super) fn run(args: &BendArgs) -> Done {
    let unit = match args.units {
        Some(unit) => unit,
        None => context::shop(args.common.shop.as_deref(), None)?.units,
    };
    let material = Material::find(&args.species)?;
    let job = job(args, unit, &material)?;
    let report = assess(&job).map_err(|d| Failure::from(flagged(d)))?;
    if args.common.json {
        let json = bend_json(&job, &report);
        say::result(&format!("{json:#}\n"))?;
    } else {
        let text = bend_text(&job, &report, Shown { unit, parts: 32 });
        say::result(&format!("{}\n\n{text}", material.name))?;
    }
    Ok(u8::from(report.advice == Advice::Flatter))
}

fn job(args: &BendArgs, unit: Unit, material: &Material) -> Result<BendJob, Failure> {
    let length = |flag: &str, text: &str| {
        parse_length(text, unit)
            .map_err(|why| Failure::from(Diagnostic::error(format!("--{flag}: {why}"))))
    };
    let thickness = length("thickness", &args.thickness)?;
    let radius = length("radius", &args.radius)?;
    let sweep = match &args.chord {
        Some(text) => sweep_over(length("chord", text)?, radius)?,
        None => parse_angle(&args.sweep)
            .map_err(|why| Failure::from(Diagnostic::error(format!("--sweep: {why}"))))?,
    };
    let optional = |flag: &str, text: &Option<String>| {
        text.as_ref().map(|text| length(flag, text)).transpose()
    };
    let board = match &args.board {
        Some(text) => Some(board(text, unit)?),
        None => None,
    };
    Ok(BendJob {
        thickness,
        // Only a board asks for the height, and `--board` wants `--height`.
        height: optional("height", &args.height)?.unwrap_or(thickness),
        radius,
        sweep,
        wood: Wood::of(material)?,
        share: args.share,
        saw_kerf: length("saw-kerf", &args.saw_kerf)?,
        skin: optional("skin", &args.skin)?,
        board,
        finish: match args.finish {
            Finished::Paint => Finish::Paint,
            Finished::Clear => Finish::Clear,
        },
        hardwood: is_hardwood(material),
    })
}

/// Angle of the lesser arc over a chord.
fn sweep_over(chord: f64, radius: f64) -> Result<f64, Failure> {
    let arc = CircularSegment::from_chord_and_radius(chord, radius).map_err(|_| {
        Diagnostic::error("--chord: no arc of this radius spans it")
            .help("more than 0, and at most twice the radius")
    })?;
    Ok(2.0 * arc.half_angle())
}

fn board(text: &str, unit: Unit) -> Result<Board, Failure> {
    let wrong =
        |why: String| {
            Failure::from(Diagnostic::error(format!("--board {text}: {why}")).help(
                "give length, width and thickness, as in --board \"48 in, 5 1/2 in, 3/4 in\"",
            ))
        };
    let sizes: Vec<f64> = text
        .split(',')
        .map(|part| parse_length(part, unit))
        .collect::<Result<_, _>>()
        .map_err(wrong)?;
    let [length, width, thickness] = sizes.as_slice() else {
        return Err(wrong(format!("{} sizes where three are wanted", sizes.len())));
    };
    Ok(Board { length: *length, width: *width, thickness: *thickness })
}

/// A finding about a bend names the flag that it is about.
fn flagged(d: Diagnostic) -> Diagnostic {
    let flag = d.key.as_deref().and_then(|key| key.strip_prefix("bend.")).map(|word| {
        let word = if word.starts_with("board.") { "board" } else { word };
        format!("--{word}: {}", d.message)
    });
    match flag {
        Some(message) => Diagnostic { message, key: None, ..d },
        None => d,
    }
}
