//! Pictures on a native device with no screen.

use crate::error::RenderError;
use crate::eye::look::Look;
use crate::gpu::device::limits;
use crate::gpu::read_back::from_half_floats;
use crate::gpu::renderer::Renderer;
use crate::light::tables::LightTables;
use crate::output::view::View;
use crate::window::mesh::WindowMesh;

/// Which native graphics interface to use.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum NativeBackend {
    /// Whichever is available, Vulkan first.
    #[default]
    Any,
    /// Vulkan.
    Vulkan,
    /// OpenGL ES through EGL.
    Gl,
}

impl NativeBackend {
    fn backends(self) -> wgpu::Backends {
        match self {
            Self::Any => wgpu::Backends::VULKAN | wgpu::Backends::GL,
            Self::Vulkan => wgpu::Backends::VULKAN,
            Self::Gl => wgpu::Backends::GL,
        }
    }
}

/// A renderer on a device of its own.
#[derive(Debug)]
pub struct Headless {
    renderer: Renderer,
    device_name: String,
}

impl Headless {
    /// Opens a device.
    ///
    /// # Errors
    /// [`RenderError::NoDevice`] if there is none.
    pub fn new(backend: NativeBackend) -> Result<Self, RenderError> {
        pollster::block_on(Self::open(backend))
    }

    async fn open(backend: NativeBackend) -> Result<Self, RenderError> {
        let refused =
            |reason: String| RenderError::NoDevice { wanted: format!("{:?}", backend.backends()), reason };
        let mut descriptor = wgpu::InstanceDescriptor::new_without_display_handle();
        descriptor.backends = backend.backends();
        let instance = wgpu::Instance::new(descriptor);
        let adapter = instance
            .request_adapter(&wgpu::RequestAdapterOptions {
                power_preference: wgpu::PowerPreference::HighPerformance,
                ..wgpu::RequestAdapterOptions::default()
            })
            .await
            .map_err(|e| refused(e.to_string()))?;
        let (device, queue) = adapter
            .request_device(&wgpu::DeviceDescriptor {
                label: Some("pictures"),
                required_limits: limits(&adapter),
                ..wgpu::DeviceDescriptor::default()
            })
            .await
            .map_err(|e| refused(e.to_string()))?;
        let info = adapter.get_info();
        Ok(Self {
            renderer: Renderer::new(device, queue, wgpu::TextureFormat::Rgba8Unorm),
            device_name: format!("{} ({:?})", info.name, info.backend),
        })
    }

    /// The device's name and interface.
    pub fn device_name(&self) -> &str {
        &self.device_name
    }

    /// The renderer itself.
    pub fn renderer(&mut self) -> &mut Renderer {
        &mut self.renderer
    }

    /// Sets a window and its light.
    ///
    /// # Errors
    /// As [`Renderer::set_light`].
    pub fn set(&mut self, mesh: &WindowMesh, tables: LightTables) -> Result<(), RenderError> {
        self.renderer.set_window(mesh);
        self.renderer.set_light(tables)
    }

    /// Draws a picture at once, as on a screen; in tiles if it exceeds the device's limits. RGBA8, rows from the
    /// top.
    ///
    /// # Errors
    /// [`RenderError::ReadBack`] if the device fails.
    pub fn picture(&mut self, view: View, look: Look) -> Result<Vec<u8>, RenderError> {
        let most = self.renderer.largest_side().min(4096);
        if view.size_px.iter().any(|side| *side > most) {
            let mut picture = Vec::new();
            self.picture_rows(view, look, |rows| {
                picture.extend_from_slice(rows);
                Ok(())
            })?;
            return Ok(picture);
        }
        self.renderer.set_look(look);
        self.renderer.set_tiled(false);
        self.tile(view)
    }

    /// Draws a picture of any size in tiles and passes complete rows to `rows`, from the top: RGBA8.
    ///
    /// # Errors
    /// [`RenderError::ReadBack`] if the device fails, and any error of `rows`.
    pub fn picture_rows<E: From<RenderError>>(
        &mut self,
        view: View,
        look: Look,
        mut rows: impl FnMut(&[u8]) -> Result<(), E>,
    ) -> Result<(), E> {
        self.renderer.set_look(look);
        self.renderer.set_tiled(true);
        let plan = self.renderer.tile_plan(view);
        let mut joined = plan.join();
        for tile in plan.tiles() {
            let rgba = self.tile(tile.view)?;
            if let Some(whole) = joined.take(&tile, &rgba) {
                rows(whole)?;
            }
        }
        Ok(())
    }

    fn tile(&mut self, view: View) -> Result<Vec<u8>, RenderError> {
        self.renderer.set_view(view);
        self.renderer.begin_picture().wait(self.renderer.device())
    }

    /// Draws scene light: RGBA per pixel, linear RGB with sRGB primaries in cd/m², rows from the top. The picture
    /// must fit the device.
    ///
    /// # Errors
    /// [`RenderError::ReadBack`] if the device fails.
    pub fn scene_light(&mut self, view: View, look: Look) -> Result<Vec<[f32; 3]>, RenderError> {
        self.renderer.set_look(look);
        self.renderer.set_tiled(false);
        self.renderer.set_view(view);
        let white = self.renderer.white_cd_m2().unwrap_or(1.0) as f32;
        let pending = self.renderer.begin_scene_light().ok_or(RenderError::Lost)?;
        let halves = from_half_floats(&pending.wait(self.renderer.device())?);
        Ok(halves.as_chunks::<4>().0.iter().map(|p| [p[0] * white, p[1] * white, p[2] * white]).collect())
    }
}
