//! The picture on a GPU: one set of pipelines for WebGPU, WebGL2 and native devices.

use std::sync::OnceLock;

use plane::PanelPoint;

use crate::error::RenderError;
use crate::eye::exposure::WindowLevel;
use crate::eye::look::Look;
use crate::eye::tone::Tone;
use crate::eye::uniforms::Uniforms;
use crate::gpu::device::SCENE_FORMAT;
use crate::gpu::mesh::GpuMesh;
use crate::gpu::owned::Owned;
use crate::gpu::pipeline::{attributes, begin, layout, pipeline};
use crate::gpu::read_back::PendingPixels;
use crate::gpu::shaders::Pass;
use crate::gpu::spread::SpreadPasses;
use crate::gpu::tables::{GpuTables, sizes};
use crate::gpu::target::Target;
use crate::light::tables::LightTables;
#[cfg(not(target_arch = "wasm32"))]
use crate::output::tiles::TilePlan;
use crate::output::view::View;
use crate::shared::constants::WALL_REFLECTANCE;
use crate::shared::frame::Frame;
use crate::window::mesh::WindowMesh;
use crate::window::vertex::{GlassVertex, SolidVertex};

/// Draws one window. Holds geometry, tables and targets on a device; all of it can be rebuilt from [`WindowMesh`]
/// and [`LightTables`] after a device is lost.
#[derive(Debug)]
pub struct Renderer {
    device: wgpu::Device,
    queue: wgpu::Queue,
    format: wgpu::TextureFormat,
    glass: wgpu::RenderPipeline,
    solid: wgpu::RenderPipeline,
    tone: wgpu::RenderPipeline,
    /// Created when light is first spread, because compiling the shaders takes time.
    spread: OnceLock<SpreadPasses>,
    scene_layout: wgpu::BindGroupLayout,
    tone_layout: wgpu::BindGroupLayout,
    frame_uniform: Owned<wgpu::Buffer>,
    /// For the picture of the whole window, from which light spreads.
    around_uniform: Owned<wgpu::Buffer>,
    tone_uniform: Owned<wgpu::Buffer>,
    mesh: Option<GpuMesh>,
    textures: Option<GpuTables>,
    /// Of the whole picture and of the coarse one: on a slow card they take turns.
    targets: [Option<Target>; 2],
    /// Whether the coarse picture is drawn.
    coarse: bool,
    view: View,
    look: Look,
    /// The source of the uniforms, once there is light.
    light: Option<(LightTables, WindowLevel)>,
    stale: bool,
    /// Whether the picture is a tile of a larger one.
    tiled: bool,
}

impl Renderer {
    /// Needs a device whose limits are at least those of WebGL2. `format`: of the views to draw to, without sRGB
    /// encoding (`Rgba8Unorm` or `Bgra8Unorm`).
    pub fn new(device: wgpu::Device, queue: wgpu::Queue, format: wgpu::TextureFormat) -> Self {
        let scene_layout = layout(&device, "scene", 3);
        let tone_layout = layout(&device, "tone", 2);
        let glass = pipeline(
            &device,
            Pass::Glass,
            &scene_layout,
            Some((size_of::<GlassVertex>(), &attributes::<GlassVertex>())),
            SCENE_FORMAT,
        );
        let solid = pipeline(
            &device,
            Pass::Solid,
            &scene_layout,
            Some((size_of::<SolidVertex>(), &attributes::<SolidVertex>())),
            SCENE_FORMAT,
        );
        let tone = pipeline(&device, Pass::Tone, &tone_layout, None, format);
        let uniform = |label, size| {
            Owned::new(device.create_buffer(&wgpu::BufferDescriptor {
                label: Some(label),
                size,
                usage: wgpu::BufferUsages::UNIFORM | wgpu::BufferUsages::COPY_DST,
                mapped_at_creation: false,
            }))
        };
        let frame_uniform = uniform("frame", size_of::<Frame>() as u64);
        let around_uniform = uniform("window frame", size_of::<Frame>() as u64);
        let tone_uniform = uniform("tone", size_of::<Tone>() as u64);
        Self {
            device,
            queue,
            format,
            glass,
            solid,
            tone,
            spread: OnceLock::new(),
            scene_layout,
            tone_layout,
            frame_uniform,
            around_uniform,
            tone_uniform,
            mesh: None,
            textures: None,
            targets: [None, None],
            coarse: false,
            view: View { centre_mm: PanelPoint::default(), mm_per_px: 1.0, size_px: [1, 1] },
            look: Look::default(),
            light: None,
            stale: true,
            tiled: false,
        }
    }

    /// The device.
    pub fn device(&self) -> &wgpu::Device {
        &self.device
    }

    /// The device's queue.
    #[cfg(target_arch = "wasm32")]
    pub(crate) fn queue(&self) -> &wgpu::Queue {
        &self.queue
    }

    /// Format of the views that it draws to.
    pub fn format(&self) -> wgpu::TextureFormat {
        self.format
    }

    /// Largest picture side, pixels; larger pictures are drawn in tiles.
    pub(crate) fn largest_side(&self) -> u32 {
        self.device.limits().max_texture_dimension_2d
    }

    /// Releases window, light and targets.
    pub(crate) fn forget(&mut self) {
        (self.mesh, self.textures, self.light) = (None, None, None);
        self.targets = [None, None];
        self.look = Look::default();
        self.stale = true;
    }

    /// Sets the shapes of a window.
    pub fn set_window(&mut self, mesh: &WindowMesh) {
        self.redraw_around();
        self.mesh = Some(GpuMesh::new(&self.device, &self.queue, mesh));
    }

    /// Sets the light of an instant. Textures are kept if their size has not changed.
    ///
    /// # Errors
    /// [`RenderError::TooManyPieces`] if the tables exceed the device's textures.
    pub fn set_light(&mut self, tables: LightTables) -> Result<(), RenderError> {
        let sizes = sizes(&tables);
        let most = self.largest_side();
        if let Some(size) = sizes.iter().flatten().find(|&&side| side > most) {
            return Err(RenderError::TooManyPieces { pieces: tables.places.len(), rows: *size, most });
        }
        let textures = self.textures.take().filter(|textures| textures.fits(sizes)).unwrap_or_else(|| {
            let uniforms = [&self.frame_uniform, &self.around_uniform];
            GpuTables::new(&self.device, &self.scene_layout, uniforms[0], uniforms[1], sizes)
        });
        textures.write(&self.queue, &tables);
        self.textures = Some(textures);
        let level = WindowLevel::new(&tables);
        self.light = Some((tables, level));
        self.stale = true;
        self.redraw_around();
        Ok(())
    }

    /// Sets the part of the panel to show and the picture's size.
    pub fn set_view(&mut self, view: View) {
        let most = self.largest_side();
        self.view = View { size_px: view.size_px.map(|s| s.clamp(1, most)), ..view };
        self.stale = true;
    }

    /// Sets the look.
    pub fn set_look(&mut self, look: Look) {
        self.look = look;
        self.stale = true;
        self.redraw_around();
    }

    /// Sets whether the coarse picture is drawn, which a slow card shows before the whole one. Its targets are kept
    /// beside those of the whole picture.
    pub fn set_coarse(&mut self, coarse: bool) {
        if self.coarse != coarse {
            self.coarse = coarse;
            self.stale = true;
        }
    }

    /// Sets whether views are tiles of a larger picture, on the grid of [`TilePlan`](crate::TilePlan). Tiles are
    /// drawn with a margin, so that spread light joins without a seam.
    #[cfg(not(target_arch = "wasm32"))]
    pub(crate) fn set_tiled(&mut self, tiled: bool) {
        if self.tiled != tiled {
            self.tiled = tiled;
            self.stale = true;
            self.redraw_around();
        }
    }

    /// How a picture in the current light and look is divided into tiles.
    #[cfg(not(target_arch = "wasm32"))]
    pub(crate) fn tile_plan(&self, view: View) -> TilePlan {
        TilePlan::new(view, self.light.as_ref().map(|l| &l.0), &self.look, self.largest_side())
    }

    /// The luminance that the picture shows as white, cd/m².
    pub fn white_cd_m2(&self) -> Option<f64> {
        let (_, level) = self.light.as_ref()?;
        Some(level.white_cd_m2(&self.look))
    }

    /// Draws to a texture view of [`Renderer::format`] and the size of the view. Without a window or light the
    /// picture is black.
    pub fn draw(&mut self, to: &wgpu::TextureView) {
        self.refresh();
        let mut encoder =
            self.device.create_command_encoder(&wgpu::CommandEncoderDescriptor { label: Some("picture") });
        self.draw_scene(&mut encoder);
        if let Some(target) = self.target() {
            let mut pass = begin(&mut encoder, "tone", to, wgpu::Color::BLACK);
            pass.set_pipeline(&self.tone);
            pass.set_bind_group(0, &target.bindings, &[]);
            pass.draw(0..3, 0..1);
        }
        self.queue.submit([encoder.finish()]);
    }

    /// Draws to its own texture and begins to read it back: RGBA8, rows from the top.
    pub fn begin_picture(&mut self) -> PendingPixels {
        let [width, height] = self.view.size_px;
        let texture = Owned::new(self.device.create_texture(&wgpu::TextureDescriptor {
            label: Some("picture"),
            size: wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
            mip_level_count: 1,
            sample_count: 1,
            dimension: wgpu::TextureDimension::D2,
            format: self.format,
            usage: wgpu::TextureUsages::RENDER_ATTACHMENT | wgpu::TextureUsages::COPY_SRC,
            view_formats: &[],
        }));
        self.draw(&texture.create_view(&wgpu::TextureViewDescriptor::default()));
        let swap = matches!(self.format, wgpu::TextureFormat::Bgra8Unorm);
        PendingPixels::new(&self.device, &self.queue, &texture, 4, swap)
    }

    /// Draws scene light and begins to read it back: half-float RGBA, linear RGB times exposure, rows from the top.
    #[cfg(not(target_arch = "wasm32"))]
    pub(crate) fn begin_scene_light(&mut self) -> Option<PendingPixels> {
        self.refresh();
        let mut encoder = self
            .device
            .create_command_encoder(&wgpu::CommandEncoderDescriptor { label: Some("scene light") });
        self.draw_scene(&mut encoder);
        self.queue.submit([encoder.finish()]);
        let target = self.target()?;
        Some(PendingPixels::new(&self.device, &self.queue, &target.texture, 8, false))
    }

    fn refresh(&mut self) {
        if !self.stale && self.target().is_some() {
            return;
        }
        let uniforms = self
            .light
            .as_ref()
            .map(|(tables, level)| self.look.uniforms(level, tables, &self.view, self.tiled));
        let plan = uniforms.as_ref().and_then(|u| u.plan.as_ref());
        let size = plan.map_or(self.view, |plan| plan.target).size_px;
        let at = usize::from(self.coarse);
        if !self.target().is_some_and(|target| target.fits(size, plan)) {
            // The old one goes first, so that the card never holds both.
            self.targets[at] = None;
            let spread = plan.map(|plan| (self.spread(), plan));
            let made = Target::new(&self.device, size, &self.tone_layout, &self.tone_uniform, spread);
            self.targets[at] = Some(made);
        }
        if let Some(Uniforms { frame, around, tone, plan }) = &uniforms {
            self.queue.write_buffer(&self.frame_uniform, 0, bytemuck::bytes_of(frame));
            self.queue.write_buffer(&self.tone_uniform, 0, bytemuck::bytes_of(tone));
            if let Some(around) = around {
                self.queue.write_buffer(&self.around_uniform, 0, bytemuck::bytes_of(around));
            }
            if let (Some(plan), Some(spread)) = (plan, self.target().and_then(|t| t.spread.as_ref())) {
                spread.write(&self.queue, plan);
            }
        }
        self.stale = false;
    }

    fn spread(&self) -> &SpreadPasses {
        self.spread.get_or_init(|| SpreadPasses::new(&self.device))
    }

    /// Draws scene light, and the light that spreads from it in the eye.
    fn draw_scene(&mut self, encoder: &mut wgpu::CommandEncoder) {
        let Some(target) = self.target() else { return };
        self.draw_window(encoder, &target.view, |textures| &textures.bindings);
        if let Some(spread) = &target.spread {
            if target.around_stale {
                self.draw_window(encoder, spread.around_view(), |textures| &textures.around_bindings);
                spread.draw_around(encoder, self.spread());
            }
            spread.draw(encoder, self.spread());
        }
        if let Some(target) = &mut self.targets[usize::from(self.coarse)] {
            target.around_stale = false;
        }
    }

    fn target(&self) -> Option<&Target> {
        self.targets[usize::from(self.coarse)].as_ref()
    }

    fn redraw_around(&mut self) {
        self.targets.iter_mut().flatten().for_each(|target| target.around_stale = true);
    }

    fn draw_window(
        &self,
        encoder: &mut wgpu::CommandEncoder,
        to: &wgpu::TextureView,
        bindings: impl Fn(&GpuTables) -> &wgpu::BindGroup,
    ) {
        let wall = self.wall();
        let mut pass = begin(encoder, "scene", to, wgpu::Color { r: wall, g: wall, b: wall, a: 1.0 });
        let (Some(mesh), Some(textures)) = (&self.mesh, &self.textures) else { return };
        pass.set_bind_group(0, bindings(textures), &[]);
        mesh.draw(&mut pass, &self.glass, &self.solid);
    }

    /// Light of the wall beyond the mesh, linear times exposure.
    fn wall(&self) -> f64 {
        let Some((tables, level)) = &self.light else { return 0.0 };
        let exposure = level.exposure(self.look.mode, self.look.exposure);
        level.room_white(tables.room_white_cd_m2) * f64::from(WALL_REFLECTANCE) * exposure
    }
}
