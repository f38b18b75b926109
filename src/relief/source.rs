//! Heights from files: grey pictures, meshes, outlines of letters.

mod grid;
mod lettering;
mod mesh;
mod picture;

pub use grid::{Grid, Undercut};
pub use lettering::{Lettering, lettering};
pub use mesh::{MeshUse, Triangles, UpAxis, mesh_field, read_mesh};
pub use picture::{PictureUse, picture_field};
