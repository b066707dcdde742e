//! A throw-away picture. Drivers compile shaders when something is first drawn with them; this lets them do so
//! while the real window is still being prepared.

use plane::{PanelPoint, PanelSpacePoint};
use spectra::Spectrum;

use crate::error::RenderError;
use crate::eye::look::Look;
use crate::glazing::optics::{PieceOptics, Transmittance};
use crate::gpu::owned::Owned;
use crate::gpu::renderer::Renderer;
use crate::light::field::{DirectionField, Eye, Seen, SeenEdges};
use crate::light::instant::Light;
use crate::light::tables::LightTables;
use crate::output::view::View;
use crate::window::mesh::WindowMesh;
use crate::window::model::{PieceModel, Strip, WindowModel};

const SIDE_MM: f64 = 100.0;
const SIDE_PX: u32 = 16;

impl Renderer {
    /// Makes the device compile the shaders of a picture without spread, which is shown first. Leaves nothing set.
    /// Returns at once on most devices.
    ///
    /// # Errors
    /// As [`set_light`](Self::set_light).
    pub fn warm_up(&mut self) -> Result<(), RenderError> {
        let (model, tables) = anything();
        self.set_window(&WindowMesh::new(&model));
        self.set_light(tables)?;
        self.set_look(Look { spread: false, ..Look::default() });
        self.set_view(View::fit(model.bounds(), [SIDE_PX; 2], 0.1));
        let texture = Owned::new(self.device().create_texture(&wgpu::TextureDescriptor {
            label: Some("warm-up"),
            size: wgpu::Extent3d { width: SIDE_PX, height: SIDE_PX, depth_or_array_layers: 1 },
            mip_level_count: 1,
            sample_count: 1,
            dimension: wgpu::TextureDimension::D2,
            format: self.format(),
            usage: wgpu::TextureUsages::RENDER_ATTACHMENT,
            view_formats: &[],
        }));
        self.draw(&texture.create_view(&wgpu::TextureViewDescriptor::default()));
        self.forget();
        Ok(())
    }
}

/// A pane with a lead across, in even light.
fn anything() -> (WindowModel, LightTables) {
    let corners = [[0.0, 0.0], [SIDE_MM, 0.0], [SIDE_MM, SIDE_MM], [0.0, SIDE_MM]];
    let square = vec![corners.map(PanelPoint::from).to_vec()];
    let model = WindowModel {
        opening: square.clone(),
        pieces: vec![PieceModel {
            light_shape: square,
            thickness_factor: 1.0,
            paint_factor: 1.0,
            ..PieceModel::default()
        }],
        leads: vec![Strip {
            line: [[0.0, SIDE_MM / 2.0], [SIDE_MM, SIDE_MM / 2.0]].map(PanelPoint::from).to_vec(),
            closed: false,
            width_mm: 5.0,
        }],
        ..WindowModel::default()
    };
    let even = |level: f64| Spectrum::from_fn(|_| level);
    let eye = Eye { position_mm: PanelSpacePoint::new(SIDE_MM / 2.0, SIDE_MM / 2.0, 10.0 * SIDE_MM) };
    let transmittance = Transmittance { regular: even(0.5), diffuse: even(0.1), lobe: glass::Lobe::NONE };
    let optics = PieceOptics::of_window(&model, eye, |_, _, _| transmittance);
    let level = SeenEdges { altitude_deg: [0.0; 2], detail_deg: [0.0; 2], leaves: 0.0 };
    let field =
        DirectionField::new(model.bounds(), eye, &[], |_| Seen { weights: Default::default() }, |_| level);
    let light = Light {
        sky: vec![even(1.0)],
        ground: even(0.2),
        disc: Spectrum::ZERO,
        glow: even(1.0),
        toward_sun: None,
        field,
        wall: None,
        inner: None,
        lobes: None,
        eye,
        room_white_cd_m2: None,
        viewer: Default::default(),
    };
    let tables = LightTables::new(&model, &optics, &light);
    (model, tables)
}
