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
    Grows, JointShape, Key, LegShape, Moulding, MouldingCut, MouldingFigures, MouldingShape,
    PassOrder, PathShape, Pose, ProfileShape, Segment, StraightShape,
};
pub use panel::{
    AcanthusShape, BandShape, BorderShape, CarveShape, Carved, CarvingShape, ChannelsShape,
    CourseShape, CushionShape, DetailShape, DrawingShape, FestoonShape, FinishShape, HuskDropShape,
    InciseShape, IncisedShape, Incision, KeyFretShape, LetteringShape, MeshShape, Panel,
    PanelShape, PictureShape, PlaceShape, RepeatShape, RosetteShape, RoughShape, Strokes,
    SwagShape,
};
pub use template::{Guide, Template, TemplateFigures};
pub use traced::{Traced, TracedFigures};
