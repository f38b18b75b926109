//! The parts as the trade describes them.

mod board;
mod cap;
pub mod features;
mod moulding;
mod panel;
mod template;
mod traced;

pub use board::{Board, BoardFigures, BoardShape};
pub use cap::{Cap, CapFigures, CapShape};
pub use moulding::{
    Grows, JointShape, Key, LegShape, Moulding, MouldingFigures, MouldingShape, PassOrder,
    PathShape, Pose, ProfileShape, Segment,
};
pub use panel::{
    AcanthusShape, BandShape, BorderShape, CarveShape, CarvingShape, ChannelsShape, CushionShape,
    FestoonShape, FinishShape, HuskDropShape, KeyFretShape, LetteringShape, MeshShape, Panel,
    PanelShape, PictureShape, PlaceShape, RepeatShape, RosetteShape, RoughShape, SwagShape,
};
pub use template::{Guide, Template, TemplateFigures};
pub use traced::{Traced, TracedFigures};
