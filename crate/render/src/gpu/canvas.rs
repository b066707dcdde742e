//! The picture on a canvas of a page: WebGPU if the browser has it, otherwise WebGL2.

use std::sync::{
    Arc,
    atomic::{AtomicBool, Ordering},
};

use crate::error::RenderError;
use crate::gpu::device::limits;
use crate::gpu::read_back::PendingPixels;
use crate::gpu::renderer::Renderer;
use crate::rgb::Gamut;

/// Which of the browser's graphics interfaces to use.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum BrowserBackend {
    /// WebGPU if there is an adapter, otherwise WebGL2.
    #[default]
    Any,
    /// WebGPU only.
    WebGpu,
    /// WebGL2 only.
    WebGl2,
}

impl BrowserBackend {
    fn backends(self) -> wgpu::Backends {
        match self {
            Self::Any => wgpu::Backends::BROWSER_WEBGPU | wgpu::Backends::GL,
            Self::WebGpu => wgpu::Backends::BROWSER_WEBGPU,
            Self::WebGl2 => wgpu::Backends::GL,
        }
    }
}

/// A renderer bound to a canvas. After a device loss, drop it and make a new one on a **new** canvas element: a
/// canvas never changes its interface, and a second surface on a lost canvas crashes the page.
#[derive(Debug)]
pub struct CanvasRenderer {
    renderer: Renderer,
    surface: wgpu::Surface<'static>,
    configuration: wgpu::SurfaceConfiguration,
    gamut: Gamut,
    backend: &'static str,
    lost: Arc<AtomicBool>,
    /// Whether the device has drawn the last frame.
    done: Arc<AtomicBool>,
}

impl CanvasRenderer {
    /// On an `OffscreenCanvas`, such as `transferControlToOffscreen` returns for a page's canvas element.
    ///
    /// # Errors
    /// [`RenderError::NoDevice`] or [`RenderError::Surface`].
    pub async fn for_canvas(
        canvas: web_sys::OffscreenCanvas,
        backend: BrowserBackend,
        gamut: Gamut,
    ) -> Result<Self, RenderError> {
        let size = [canvas.width(), canvas.height()];
        Self::open(wgpu::SurfaceTarget::OffscreenCanvas(canvas), size, backend, gamut).await
    }

    async fn open(
        target: wgpu::SurfaceTarget<'static>,
        size: [u32; 2],
        backend: BrowserBackend,
        gamut: Gamut,
    ) -> Result<Self, RenderError> {
        let refused =
            |reason: String| RenderError::NoDevice { wanted: format!("{:?}", backend.backends()), reason };
        let mut descriptor = wgpu::InstanceDescriptor::new_without_display_handle();
        descriptor.backends = backend.backends();
        let instance = wgpu::util::new_instance_with_webgpu_detection(descriptor).await;
        let surface = instance.create_surface(target).map_err(|e| RenderError::Surface(e.to_string()))?;
        let adapter = instance
            .request_adapter(&wgpu::RequestAdapterOptions {
                compatible_surface: Some(&surface),
                ..wgpu::RequestAdapterOptions::default()
            })
            .await
            .map_err(|e| refused(e.to_string()))?;
        let (device, queue) = adapter
            .request_device(&wgpu::DeviceDescriptor {
                label: Some("window"),
                required_limits: limits(&adapter),
                ..wgpu::DeviceDescriptor::default()
            })
            .await
            .map_err(|e| refused(e.to_string()))?;
        let lost = Arc::new(AtomicBool::new(false));
        let told = Arc::clone(&lost);
        device.set_device_lost_callback(move |_, _| told.store(true, Ordering::Relaxed));

        let capabilities = surface.get_capabilities(&adapter);
        let format = capabilities
            .formats
            .first()
            .map(wgpu::TextureFormat::remove_srgb_suffix)
            .ok_or_else(|| RenderError::Surface("it offers no format".into()))?;
        let format =
            if capabilities.formats.contains(&format) { format } else { wgpu::TextureFormat::Rgba8Unorm };
        let wide = gamut == Gamut::DisplayP3
            && capabilities.color_spaces(format).contains(wgpu::SurfaceColorSpaces::DISPLAY_P3);
        let configuration = wgpu::SurfaceConfiguration {
            usage: wgpu::TextureUsages::RENDER_ATTACHMENT,
            format,
            color_space: if wide {
                wgpu::SurfaceColorSpace::DisplayP3
            } else {
                wgpu::SurfaceColorSpace::Auto
            },
            width: size[0].max(1),
            height: size[1].max(1),
            present_mode: wgpu::PresentMode::Fifo,
            desired_maximum_frame_latency: 2,
            alpha_mode: wgpu::CompositeAlphaMode::Auto,
            view_formats: Vec::new(),
        };
        surface.configure(&device, &configuration);
        let info = adapter.get_info();
        let mut renderer = Renderer::new(device, queue, format);
        renderer.warm_up()?;
        Ok(Self {
            renderer,
            surface,
            configuration,
            gamut: if wide { Gamut::DisplayP3 } else { Gamut::Srgb },
            backend: if info.backend == wgpu::Backend::BrowserWebGpu { "WebGPU" } else { "WebGL2" },
            lost,
            done: Arc::new(AtomicBool::new(true)),
        })
    }

    /// `"WebGPU"` or `"WebGL2"`.
    pub fn backend(&self) -> &'static str {
        self.backend
    }

    /// The canvas's actual primaries; the look's gamut must match.
    pub fn gamut(&self) -> Gamut {
        self.gamut
    }

    /// The renderer, on which window, light, look and view are set.
    pub fn renderer(&mut self) -> &mut Renderer {
        &mut self.renderer
    }

    /// Whether the device has reported its loss. WebGL2 reports none: the owner of the canvas must listen for
    /// `webglcontextlost` and call [`CanvasRenderer::mark_lost`].
    pub fn is_lost(&self) -> bool {
        self.lost.load(Ordering::Relaxed)
    }

    /// Marks the device as lost.
    pub fn mark_lost(&self) {
        self.lost.store(true, Ordering::Relaxed);
    }

    /// Resizes the canvas, in device pixels, up to the device's limit. The view must have the same size.
    pub fn resize(&mut self, size_px: [u32; 2]) {
        let most = self.renderer.largest_side();
        let size = size_px.map(|s| s.clamp(1, most));
        if size != [self.configuration.width, self.configuration.height] {
            [self.configuration.width, self.configuration.height] = size;
            self.surface.configure(self.renderer.device(), &self.configuration);
        }
    }

    /// Draws a frame; skips it if the browser has no surface ready.
    ///
    /// # Errors
    /// [`RenderError::Lost`] if the device or surface is gone.
    pub fn draw(&mut self) -> Result<(), RenderError> {
        if self.is_lost() {
            return Err(RenderError::Lost);
        }
        use wgpu::CurrentSurfaceTexture as Current;
        match self.surface.get_current_texture() {
            Current::Success(texture) | Current::Suboptimal(texture) => {
                let view = texture.texture.create_view(&wgpu::TextureViewDescriptor::default());
                self.renderer.draw(&view);
                let done = Arc::new(AtomicBool::new(false));
                self.done = Arc::clone(&done);
                self.renderer.queue().on_submitted_work_done(move || done.store(true, Ordering::Relaxed));
                self.renderer.queue().present(texture);
                Ok(())
            }
            Current::Timeout | Current::Occluded => Ok(()),
            Current::Outdated => {
                self.surface.configure(self.renderer.device(), &self.configuration);
                Ok(())
            }
            Current::Lost | Current::Validation => {
                self.mark_lost();
                Err(RenderError::Lost)
            }
        }
    }

    /// Whether the device has drawn the last frame. In a browser the answer changes only between turns of the event
    /// loop.
    pub fn is_done(&self) -> bool {
        // A failure here shows up as the loss of the device.
        let _ = self.renderer.device().poll(wgpu::PollType::Poll);
        self.done.load(Ordering::Relaxed) || self.is_lost()
    }

    /// Draws the current view off screen and begins to read it back: RGBA8, rows from the top.
    ///
    /// # Errors
    /// [`RenderError::Lost`] if the device is gone.
    pub fn begin_picture(&mut self) -> Result<PendingPixels, RenderError> {
        if self.is_lost() { Err(RenderError::Lost) } else { Ok(self.renderer.begin_picture()) }
    }

    /// Polls pixels being read back; see [`PendingPixels`].
    ///
    /// # Errors
    /// [`RenderError::Lost`] or [`RenderError::ReadBack`].
    pub fn poll_picture(&self, pending: &PendingPixels) -> Result<Option<Vec<u8>>, RenderError> {
        if self.is_lost() { Err(RenderError::Lost) } else { pending.poll(self.renderer.device()) }
    }
}
