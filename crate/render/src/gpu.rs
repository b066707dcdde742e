//! The picture on a GPU: one set of pipelines for WebGPU, WebGL2 and native devices.

use std::sync::{Arc, Mutex};

use bytemuck::Pod;

use crate::{
    constants::WALL_REFLECTANCE,
    error::RenderError,
    exposure::WindowLevel,
    frame::{Frame, View},
    mesh::{GlassVertex, SolidVertex, WindowMesh},
    picture::Look,
    shaders::Pass,
    tables::LightTables,
    tone::Tone,
};

/// Where scene light is kept: signed linear RGB times exposure.
const SCENE_FORMAT: wgpu::TextureFormat = wgpu::TextureFormat::Rgba16Float;

/// The limits every device is asked for: what WebGL2 offers, textures as large as the adapter has them.
pub(crate) fn limits(adapter: &wgpu::Adapter) -> wgpu::Limits {
    wgpu::Limits::downlevel_webgl2_defaults().using_resolution(adapter.limits())
}

/// Draws one window. Holds geometry, tables and targets on a device; everything in it can be made again from
/// [`WindowMesh`] and [`LightTables`] after a device is lost.
#[derive(Debug)]
pub struct Renderer {
    device: wgpu::Device,
    queue: wgpu::Queue,
    format: wgpu::TextureFormat,
    glass: wgpu::RenderPipeline,
    solid: wgpu::RenderPipeline,
    tone: wgpu::RenderPipeline,
    scene_layout: wgpu::BindGroupLayout,
    tone_layout: wgpu::BindGroupLayout,
    frame_uniform: wgpu::Buffer,
    tone_uniform: wgpu::Buffer,
    mesh: Option<GpuMesh>,
    textures: Option<GpuTables>,
    target: Option<Target>,
    view: View,
    look: Look,
    /// What the uniforms are made from once there is light.
    light: Option<(LightTables, WindowLevel)>,
    exposure: Option<f64>,
    stale: bool,
}

#[derive(Debug)]
struct GpuMesh {
    glass_vertices: wgpu::Buffer,
    glass_indices: wgpu::Buffer,
    glass_count: u32,
    solid_vertices: wgpu::Buffer,
    solid_indices: wgpu::Buffer,
    behind: std::ops::Range<u32>,
    before: std::ops::Range<u32>,
}

#[derive(Debug)]
struct GpuTables {
    responses: wgpu::Texture,
    pieces: wgpu::Texture,
    field: wgpu::Texture,
    bindings: wgpu::BindGroup,
}

#[derive(Debug)]
struct Target {
    texture: wgpu::Texture,
    view: wgpu::TextureView,
    bindings: wgpu::BindGroup,
}

impl Renderer {
    /// On a device whose limits are at least those of WebGL2. `format`: of the views drawn to, without sRGB
    /// encoding of its own (`Rgba8Unorm` or `Bgra8Unorm`).
    pub fn new(device: wgpu::Device, queue: wgpu::Queue, format: wgpu::TextureFormat) -> Self {
        let scene_layout = layout(&device, "scene", 3);
        let tone_layout = layout(&device, "tone", 1);
        let glass = pipeline(
            &device,
            Pass::Glass,
            &scene_layout,
            Some((
                size_of::<GlassVertex>(),
                &wgpu::vertex_attr_array![
                    0 => Float32x2, 1 => Float32x2, 2 => Float32, 3 => Float32x2, 4 => Uint32
                ],
            )),
            SCENE_FORMAT,
        );
        let solid = pipeline(
            &device,
            Pass::Solid,
            &scene_layout,
            Some((
                size_of::<SolidVertex>(),
                &wgpu::vertex_attr_array![
                    0 => Float32x2, 1 => Float32x2, 2 => Float32, 3 => Float32, 4 => Float32x2, 5 => Float32,
                    6 => Uint32
                ],
            )),
            SCENE_FORMAT,
        );
        let tone = pipeline(&device, Pass::Tone, &tone_layout, None, format);
        let uniform = |label, size| {
            device.create_buffer(&wgpu::BufferDescriptor {
                label: Some(label),
                size,
                usage: wgpu::BufferUsages::UNIFORM | wgpu::BufferUsages::COPY_DST,
                mapped_at_creation: false,
            })
        };
        let frame_uniform = uniform("frame", size_of::<Frame>() as u64);
        let tone_uniform = uniform("tone", size_of::<Tone>() as u64);
        Self {
            device,
            queue,
            format,
            glass,
            solid,
            tone,
            scene_layout,
            tone_layout,
            frame_uniform,
            tone_uniform,
            mesh: None,
            textures: None,
            target: None,
            view: View { centre_mm: [0.0; 2], mm_per_px: 1.0, size_px: [1, 1] },
            look: Look::default(),
            light: None,
            exposure: None,
            stale: true,
        }
    }

    /// The device.
    pub fn device(&self) -> &wgpu::Device {
        &self.device
    }

    /// Its queue.
    pub fn queue(&self) -> &wgpu::Queue {
        &self.queue
    }

    /// Format of the views it draws to.
    pub fn format(&self) -> wgpu::TextureFormat {
        self.format
    }

    /// Largest picture side, pixels; larger pictures are drawn in tiles.
    pub fn largest_side(&self) -> u32 {
        self.device.limits().max_texture_dimension_2d
    }

    /// Takes the shapes of a window.
    pub fn set_window(&mut self, mesh: &WindowMesh) {
        self.mesh = Some(GpuMesh {
            glass_vertices: self.buffer("glass corners", &mesh.glass.vertices, wgpu::BufferUsages::VERTEX),
            glass_indices: self.buffer("glass triangles", &mesh.glass.indices, wgpu::BufferUsages::INDEX),
            glass_count: mesh.glass.indices.len() as u32,
            solid_vertices: self.buffer("lead corners", &mesh.solid.vertices, wgpu::BufferUsages::VERTEX),
            solid_indices: self.buffer("lead triangles", &mesh.solid.indices, wgpu::BufferUsages::INDEX),
            behind: mesh.behind.clone(),
            before: mesh.before.clone(),
        });
    }

    /// Takes an instant's light. Textures are kept where their size has not changed.
    ///
    /// # Errors
    /// [`RenderError::TooManyPieces`] when the tables exceed the device's textures.
    pub fn set_light(&mut self, tables: LightTables) -> Result<(), RenderError> {
        let sizes = [tables.response_size(), tables.piece_size(), tables.field_texture_size()];
        let most = self.largest_side();
        if let Some(size) = sizes.iter().flatten().find(|&&side| side > most) {
            return Err(RenderError::TooManyPieces { pieces: tables.places.len(), rows: *size, most });
        }
        let fits = |t: &wgpu::Texture, size: [u32; 2]| [t.width(), t.height()] == size;
        let kept = self.textures.take().filter(|t| {
            fits(&t.responses, sizes[0]) && fits(&t.pieces, sizes[1]) && fits(&t.field, sizes[2])
        });
        let textures = kept.unwrap_or_else(|| self.make_tables(sizes));
        self.upload(&textures.responses, &tables.responses);
        self.upload(&textures.pieces, &tables.pieces);
        self.upload(&textures.field, &tables.field);
        self.textures = Some(textures);
        let level = WindowLevel::new(&tables);
        self.light = Some((tables, level));
        self.stale = true;
        Ok(())
    }

    /// What the window's own light amounts to; `None` before any light was set.
    pub fn level(&self) -> Option<&WindowLevel> {
        self.light.as_ref().map(|l| &l.1)
    }

    /// Which part of the panel to show, and the picture's size.
    pub fn set_view(&mut self, view: View) {
        let most = self.largest_side();
        self.view = View { size_px: view.size_px.map(|s| s.clamp(1, most)), ..view };
        self.stale = true;
    }

    /// The view as it stands.
    pub fn view(&self) -> View {
        self.view
    }

    /// How the picture is wanted.
    pub fn set_look(&mut self, look: Look) {
        self.look = look;
        self.stale = true;
    }

    /// The look as it stands.
    pub fn look(&self) -> Look {
        self.look
    }

    /// Takes the exposure from outside (a [`SteadyExposure`](crate::SteadyExposure)) instead of from the look;
    /// `None` gives it back.
    pub fn set_exposure(&mut self, exposure: Option<f64>) {
        self.exposure = exposure;
        self.stale = true;
    }

    /// The luminance that the picture shows as white, cd/m².
    pub fn white_cd_m2(&self) -> Option<f64> {
        let (_, level) = self.light.as_ref()?;
        Some(self.exposure.map_or_else(|| self.look.white_cd_m2(level), |e| 1.0 / e))
    }

    /// Draws to a view of the format and size agreed. Without a window or light the picture is black.
    pub fn draw(&mut self, to: &wgpu::TextureView) {
        self.refresh();
        let mut encoder =
            self.device.create_command_encoder(&wgpu::CommandEncoderDescriptor { label: Some("picture") });
        self.draw_scene(&mut encoder);
        if let Some(target) = &self.target {
            let mut pass = begin(&mut encoder, "tone", to, wgpu::Color::BLACK);
            pass.set_pipeline(&self.tone);
            pass.set_bind_group(0, &target.bindings, &[]);
            pass.draw(0..3, 0..1);
        }
        self.queue.submit([encoder.finish()]);
    }

    /// Draws to a texture of its own and begins to read it: RGBA8 rows from the top.
    pub fn begin_picture(&mut self) -> PendingPixels {
        let [width, height] = self.view.size_px;
        let texture = self.device.create_texture(&wgpu::TextureDescriptor {
            label: Some("picture"),
            size: wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
            mip_level_count: 1,
            sample_count: 1,
            dimension: wgpu::TextureDimension::D2,
            format: self.format,
            usage: wgpu::TextureUsages::RENDER_ATTACHMENT | wgpu::TextureUsages::COPY_SRC,
            view_formats: &[],
        });
        self.draw(&texture.create_view(&wgpu::TextureViewDescriptor::default()));
        let swap = matches!(self.format, wgpu::TextureFormat::Bgra8Unorm);
        PendingPixels::new(&self.device, &self.queue, &texture, 4, swap)
    }

    /// Draws scene light and begins to read it: half floats RGBA, linear RGB times exposure, rows from the top.
    pub fn begin_scene_light(&mut self) -> Option<PendingPixels> {
        self.refresh();
        let mut encoder = self
            .device
            .create_command_encoder(&wgpu::CommandEncoderDescriptor { label: Some("scene light") });
        self.draw_scene(&mut encoder);
        self.queue.submit([encoder.finish()]);
        let target = self.target.as_ref()?;
        Some(PendingPixels::new(&self.device, &self.queue, &target.texture, 8, false))
    }

    fn refresh(&mut self) {
        let [width, height] = self.view.size_px;
        let fits = |t: &Target| t.texture.width() == width && t.texture.height() == height;
        if !self.target.as_ref().is_some_and(fits) {
            self.target = Some(self.make_target(width, height));
        }
        if !self.stale {
            return;
        }
        if let Some((tables, level)) = &self.light {
            let mut look = self.look;
            if let Some(exposure) = self.exposure {
                look.exposure = crate::Exposure::White(1.0 / exposure);
            }
            let (frame, tone) = look.uniforms_at(level, tables, &self.view);
            self.queue.write_buffer(&self.frame_uniform, 0, bytemuck::bytes_of(&frame));
            self.queue.write_buffer(&self.tone_uniform, 0, bytemuck::bytes_of(&tone));
        }
        self.stale = false;
    }

    fn draw_scene(&self, encoder: &mut wgpu::CommandEncoder) {
        let Some(target) = &self.target else { return };
        let wall = self.wall();
        let mut pass =
            begin(encoder, "scene", &target.view, wgpu::Color { r: wall, g: wall, b: wall, a: 1.0 });
        let (Some(mesh), Some(textures)) = (&self.mesh, &self.textures) else { return };
        pass.set_bind_group(0, &textures.bindings, &[]);
        let solids = |pass: &mut wgpu::RenderPass<'_>, range: &std::ops::Range<u32>| {
            if !range.is_empty() {
                pass.set_pipeline(&self.solid);
                pass.set_vertex_buffer(0, mesh.solid_vertices.slice(..));
                pass.set_index_buffer(mesh.solid_indices.slice(..), wgpu::IndexFormat::Uint32);
                pass.draw_indexed(range.clone(), 0, 0..1);
            }
        };
        solids(&mut pass, &mesh.behind);
        if mesh.glass_count > 0 {
            pass.set_pipeline(&self.glass);
            pass.set_vertex_buffer(0, mesh.glass_vertices.slice(..));
            pass.set_index_buffer(mesh.glass_indices.slice(..), wgpu::IndexFormat::Uint32);
            pass.draw_indexed(0..mesh.glass_count, 0, 0..1);
        }
        solids(&mut pass, &mesh.before);
    }

    /// The wall beyond the mesh, linear times exposure.
    fn wall(&self) -> f64 {
        let Some((tables, level)) = &self.light else { return 0.0 };
        let exposure = self.exposure.unwrap_or_else(|| level.exposure(self.look.mode, self.look.exposure));
        level.room_white(tables.room_white_cd_m2) * f64::from(WALL_REFLECTANCE) * exposure
    }

    fn buffer<T: Pod>(&self, label: &str, data: &[T], usage: wgpu::BufferUsages) -> wgpu::Buffer {
        let bytes = bytemuck::cast_slice(data);
        let buffer = self.device.create_buffer(&wgpu::BufferDescriptor {
            label: Some(label),
            size: (bytes.len() as u64).max(4),
            usage: usage | wgpu::BufferUsages::COPY_DST,
            mapped_at_creation: false,
        });
        if !bytes.is_empty() {
            self.queue.write_buffer(&buffer, 0, bytes);
        }
        buffer
    }

    fn make_tables(&self, [responses, pieces, field]: [[u32; 2]; 3]) -> GpuTables {
        let texture = |label, [width, height]: [u32; 2]| {
            self.device.create_texture(&wgpu::TextureDescriptor {
                label: Some(label),
                size: wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
                mip_level_count: 1,
                sample_count: 1,
                dimension: wgpu::TextureDimension::D2,
                format: wgpu::TextureFormat::Rgba32Float,
                usage: wgpu::TextureUsages::TEXTURE_BINDING | wgpu::TextureUsages::COPY_DST,
                view_formats: &[],
            })
        };
        let textures = [texture("responses", responses), texture("pieces", pieces), texture("field", field)];
        let views =
            [0, 1, 2].map(|k: usize| textures[k].create_view(&wgpu::TextureViewDescriptor::default()));
        let bindings = bind(&self.device, "scene", &self.scene_layout, &self.frame_uniform, &views);
        let [responses, pieces, field] = textures;
        GpuTables { responses, pieces, field, bindings }
    }

    /// Writes texels row by row, the last row as far as they go.
    fn upload(&self, texture: &wgpu::Texture, texels: &[[f32; 4]]) {
        let width = texture.width();
        let whole = texels.len() as u32 / width;
        let rest = texels.len() as u32 % width;
        for (from, [w, h]) in [(0, [width, whole]), (whole, [rest, 1])] {
            if w == 0 || h == 0 {
                continue;
            }
            let data = &texels[(from * width) as usize..][..(w * h) as usize];
            self.queue.write_texture(
                wgpu::TexelCopyTextureInfo {
                    texture,
                    mip_level: 0,
                    origin: wgpu::Origin3d { x: 0, y: from, z: 0 },
                    aspect: wgpu::TextureAspect::All,
                },
                bytemuck::cast_slice(data),
                wgpu::TexelCopyBufferLayout { offset: 0, bytes_per_row: Some(w * 16), rows_per_image: None },
                wgpu::Extent3d { width: w, height: h, depth_or_array_layers: 1 },
            );
        }
    }

    fn make_target(&self, width: u32, height: u32) -> Target {
        let texture = self.device.create_texture(&wgpu::TextureDescriptor {
            label: Some("scene light"),
            size: wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
            mip_level_count: 1,
            sample_count: 1,
            dimension: wgpu::TextureDimension::D2,
            format: SCENE_FORMAT,
            usage: wgpu::TextureUsages::RENDER_ATTACHMENT
                | wgpu::TextureUsages::TEXTURE_BINDING
                | wgpu::TextureUsages::COPY_SRC,
            view_formats: &[],
        });
        let view = texture.create_view(&wgpu::TextureViewDescriptor::default());
        let views = std::slice::from_ref(&view);
        let bindings = bind(&self.device, "tone", &self.tone_layout, &self.tone_uniform, views);
        Target { texture, view, bindings }
    }
}

/// A uniform buffer and some textures, read texel by texel.
fn layout(device: &wgpu::Device, label: &str, textures: u32) -> wgpu::BindGroupLayout {
    let mut entries = vec![wgpu::BindGroupLayoutEntry {
        binding: 0,
        visibility: wgpu::ShaderStages::VERTEX_FRAGMENT,
        ty: wgpu::BindingType::Buffer {
            ty: wgpu::BufferBindingType::Uniform,
            has_dynamic_offset: false,
            min_binding_size: None,
        },
        count: None,
    }];
    entries.extend((1..=textures).map(|binding| wgpu::BindGroupLayoutEntry {
        binding,
        visibility: wgpu::ShaderStages::FRAGMENT,
        ty: wgpu::BindingType::Texture {
            sample_type: wgpu::TextureSampleType::Float { filterable: false },
            view_dimension: wgpu::TextureViewDimension::D2,
            multisampled: false,
        },
        count: None,
    }));
    device
        .create_bind_group_layout(&wgpu::BindGroupLayoutDescriptor { label: Some(label), entries: &entries })
}

fn bind(
    device: &wgpu::Device,
    label: &str,
    layout: &wgpu::BindGroupLayout,
    uniform: &wgpu::Buffer,
    textures: &[wgpu::TextureView],
) -> wgpu::BindGroup {
    let mut entries = vec![wgpu::BindGroupEntry { binding: 0, resource: uniform.as_entire_binding() }];
    entries.extend(textures.iter().enumerate().map(|(k, view)| wgpu::BindGroupEntry {
        binding: k as u32 + 1,
        resource: wgpu::BindingResource::TextureView(view),
    }));
    device.create_bind_group(&wgpu::BindGroupDescriptor { label: Some(label), layout, entries: &entries })
}

fn pipeline(
    device: &wgpu::Device,
    pass: Pass,
    layout: &wgpu::BindGroupLayout,
    vertices: Option<(usize, &[wgpu::VertexAttribute])>,
    format: wgpu::TextureFormat,
) -> wgpu::RenderPipeline {
    let label = Some(pass.name());
    let module = device.create_shader_module(wgpu::ShaderModuleDescriptor {
        label,
        source: wgpu::ShaderSource::Wgsl(pass.source().into()),
    });
    let layout = device.create_pipeline_layout(&wgpu::PipelineLayoutDescriptor {
        label,
        bind_group_layouts: &[Some(layout)],
        immediate_size: 0,
    });
    let buffers: Vec<_> = vertices
        .map(|(stride, attributes)| {
            Some(wgpu::VertexBufferLayout {
                array_stride: stride as u64,
                step_mode: wgpu::VertexStepMode::Vertex,
                attributes,
            })
        })
        .into_iter()
        .collect();
    let over = wgpu::BlendComponent {
        src_factor: wgpu::BlendFactor::SrcAlpha,
        dst_factor: wgpu::BlendFactor::OneMinusSrcAlpha,
        operation: wgpu::BlendOperation::Add,
    };
    let blend = vertices.is_some().then_some(wgpu::BlendState { color: over, alpha: over });
    device.create_render_pipeline(&wgpu::RenderPipelineDescriptor {
        label,
        layout: Some(&layout),
        vertex: wgpu::VertexState {
            module: &module,
            entry_point: Some("vertex_main"),
            compilation_options: wgpu::PipelineCompilationOptions::default(),
            buffers: &buffers,
        },
        primitive: wgpu::PrimitiveState::default(),
        depth_stencil: None,
        multisample: wgpu::MultisampleState::default(),
        fragment: Some(wgpu::FragmentState {
            module: &module,
            entry_point: Some("fragment_main"),
            compilation_options: wgpu::PipelineCompilationOptions::default(),
            targets: &[Some(wgpu::ColorTargetState { format, blend, write_mask: wgpu::ColorWrites::ALL })],
        }),
        multiview_mask: None,
        cache: None,
    })
}

fn begin<'a>(
    encoder: &'a mut wgpu::CommandEncoder,
    label: &str,
    view: &wgpu::TextureView,
    clear: wgpu::Color,
) -> wgpu::RenderPass<'a> {
    encoder.begin_render_pass(&wgpu::RenderPassDescriptor {
        label: Some(label),
        color_attachments: &[Some(wgpu::RenderPassColorAttachment {
            view,
            depth_slice: None,
            resolve_target: None,
            ops: wgpu::Operations { load: wgpu::LoadOp::Clear(clear), store: wgpu::StoreOp::Store },
        })],
        depth_stencil_attachment: None,
        timestamp_writes: None,
        occlusion_query_set: None,
        multiview_mask: None,
    })
}

/// Pixels on their way from the device. Ask [`PendingPixels::poll`] until they are there; in a browser, return to
/// the event loop between two questions.
#[derive(Debug)]
pub struct PendingPixels {
    buffer: wgpu::Buffer,
    outcome: Arc<Mutex<Option<Result<(), wgpu::BufferAsyncError>>>>,
    size_px: [u32; 2],
    bytes_per_pixel: u32,
    bytes_per_row: u32,
    swap_red_and_blue: bool,
}

impl PendingPixels {
    fn new(
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        texture: &wgpu::Texture,
        bytes_per_pixel: u32,
        swap_red_and_blue: bool,
    ) -> Self {
        let size_px = [texture.width(), texture.height()];
        let bytes_per_row =
            (size_px[0] * bytes_per_pixel).next_multiple_of(wgpu::COPY_BYTES_PER_ROW_ALIGNMENT);
        let buffer = device.create_buffer(&wgpu::BufferDescriptor {
            label: Some("read back"),
            size: u64::from(bytes_per_row) * u64::from(size_px[1]),
            usage: wgpu::BufferUsages::COPY_DST | wgpu::BufferUsages::MAP_READ,
            mapped_at_creation: false,
        });
        let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        encoder.copy_texture_to_buffer(
            texture.as_image_copy(),
            wgpu::TexelCopyBufferInfo {
                buffer: &buffer,
                layout: wgpu::TexelCopyBufferLayout {
                    offset: 0,
                    bytes_per_row: Some(bytes_per_row),
                    rows_per_image: None,
                },
            },
            texture.size(),
        );
        queue.submit([encoder.finish()]);
        let outcome = Arc::new(Mutex::new(None));
        let told = Arc::clone(&outcome);
        buffer.map_async(wgpu::MapMode::Read, .., move |result| {
            if let Ok(mut outcome) = told.lock() {
                *outcome = Some(result);
            }
        });
        Self { buffer, outcome, size_px, bytes_per_pixel, bytes_per_row, swap_red_and_blue }
    }

    /// Size of the picture.
    pub fn size_px(&self) -> [u32; 2] {
        self.size_px
    }

    /// The pixels, tightly packed, or `None` while they are under way.
    ///
    /// # Errors
    /// [`RenderError::ReadBack`] when the device has failed or was lost.
    pub fn poll(&self, device: &wgpu::Device) -> Result<Option<Vec<u8>>, RenderError> {
        self.ask(device, wgpu::PollType::Poll)
    }

    /// Waits for the pixels.
    ///
    /// # Errors
    /// As [`PendingPixels::poll`].
    #[cfg(not(target_arch = "wasm32"))]
    pub fn wait(&self, device: &wgpu::Device) -> Result<Vec<u8>, RenderError> {
        self.ask(device, wgpu::PollType::wait_indefinitely())?
            .ok_or_else(|| RenderError::ReadBack("the device finished without an answer".into()))
    }

    fn ask(&self, device: &wgpu::Device, how: wgpu::PollType) -> Result<Option<Vec<u8>>, RenderError> {
        device.poll(how).map_err(|e| RenderError::ReadBack(e.to_string()))?;
        let outcome = self.outcome.lock().map_err(|e| RenderError::ReadBack(e.to_string()))?.take();
        match outcome {
            None => Ok(None),
            Some(Err(e)) => Err(RenderError::ReadBack(e.to_string())),
            Some(Ok(())) => {
                let row = (self.size_px[0] * self.bytes_per_pixel) as usize;
                let mut pixels = Vec::with_capacity(row * self.size_px[1] as usize);
                {
                    let mapped =
                        self.buffer.get_mapped_range(..).map_err(|e| RenderError::ReadBack(e.to_string()))?;
                    for padded in mapped.chunks_exact(self.bytes_per_row as usize) {
                        pixels.extend_from_slice(&padded[..row]);
                    }
                }
                self.buffer.unmap();
                if self.swap_red_and_blue {
                    pixels.as_chunks_mut::<4>().0.iter_mut().for_each(|p| p.swap(0, 2));
                }
                Ok(Some(pixels))
            }
        }
    }
}

/// IEEE 754 half floats, little-endian, to single precision.
pub fn from_half_floats(bytes: &[u8]) -> Vec<f32> {
    bytes.as_chunks::<2>().0.iter().map(|b| from_half(u16::from_le_bytes(*b))).collect()
}

fn from_half(half: u16) -> f32 {
    let sign = if half & 0x8000 == 0 { 1.0 } else { -1.0 };
    let exponent = i32::from(half >> 10 & 0x1f);
    let fraction = f32::from(half & 0x3ff) / 1024.0;
    sign * match exponent {
        0 => fraction * 2.0_f32.powi(-14),
        31 if fraction == 0.0 => f32::INFINITY,
        31 => f32::NAN,
        _ => (1.0 + fraction) * 2.0_f32.powi(exponent - 15),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_floats_decode() {
        for (half, value) in [(0x3c00, 1.0), (0xc000, -2.0), (0x3555, 0.333_251_95), (0x0001, 5.960_464_5e-8)]
        {
            assert!((from_half(half) - value).abs() < 1e-9);
        }
        assert_eq!(from_half_floats(&[0, 0x3c, 0, 0xc0]).len(), 2);
    }
}
