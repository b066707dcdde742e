//! The picture on a GPU: one set of pipelines for WebGPU, WebGL2 and native devices.

use std::sync::OnceLock;

use bytemuck::Pod;

use crate::{
    constants::WALL_REFLECTANCE,
    error::RenderError,
    exposure::WindowLevel,
    frame::{Frame, View},
    mesh::{GlassVertex, SolidVertex, WindowMesh},
    picture::{Look, Uniforms},
    read_back::PendingPixels,
    shaders::Pass,
    spread::Plan,
    spread_gpu::{SpreadPasses, SpreadTargets},
    tables::LightTables,
    tiles::TilePlan,
    tone::Tone,
};

/// Where scene light is kept: signed linear RGB times exposure.
pub(crate) const SCENE_FORMAT: wgpu::TextureFormat = wgpu::TextureFormat::Rgba16Float;

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
    /// Made when light is first spread: translating their programs takes its time.
    spread: OnceLock<SpreadPasses>,
    scene_layout: wgpu::BindGroupLayout,
    tone_layout: wgpu::BindGroupLayout,
    frame_uniform: wgpu::Buffer,
    /// For the picture of the whole window that light spreads from.
    around_uniform: wgpu::Buffer,
    tone_uniform: wgpu::Buffer,
    mesh: Option<GpuMesh>,
    textures: Option<GpuTables>,
    target: Option<Target>,
    view: View,
    look: Look,
    /// What the uniforms are made from once there is light.
    light: Option<(LightTables, WindowLevel)>,
    stale: bool,
    /// The picture of the whole window is to be drawn anew.
    around_stale: bool,
    /// Whether what is drawn is a tile of a larger picture.
    tiled: bool,
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
    around_bindings: wgpu::BindGroup,
}

#[derive(Debug)]
struct Target {
    texture: wgpu::Texture,
    view: wgpu::TextureView,
    spread: Option<SpreadTargets>,
    bindings: wgpu::BindGroup,
}

impl Renderer {
    /// On a device whose limits are at least those of WebGL2. `format`: of the views drawn to, without sRGB
    /// encoding of its own (`Rgba8Unorm` or `Bgra8Unorm`).
    pub fn new(device: wgpu::Device, queue: wgpu::Queue, format: wgpu::TextureFormat) -> Self {
        let scene_layout = layout(&device, "scene", 3);
        let tone_layout = layout(&device, "tone", 2);
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
            target: None,
            view: View { centre_mm: [0.0; 2], mm_per_px: 1.0, size_px: [1, 1] },
            look: Look::default(),
            light: None,
            stale: true,
            around_stale: true,
            tiled: false,
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

    /// Lets go of window, light and pictures under way.
    pub(crate) fn forget(&mut self) {
        (self.mesh, self.textures, self.light, self.target) = (None, None, None, None);
        self.look = Look::default();
        (self.stale, self.around_stale) = (true, true);
    }

    /// Takes the shapes of a window.
    pub fn set_window(&mut self, mesh: &WindowMesh) {
        self.around_stale = true;
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
        (self.stale, self.around_stale) = (true, true);
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
        (self.stale, self.around_stale) = (true, true);
    }

    /// Whether views are tiles of a larger picture, on the grid of [`TilePlan`](crate::TilePlan): they are drawn
    /// with a margin, so that spread light joins without a seam.
    pub fn set_tiled(&mut self, tiled: bool) {
        if self.tiled != tiled {
            self.tiled = tiled;
            (self.stale, self.around_stale) = (true, true);
        }
    }

    /// The look as it stands.
    pub fn look(&self) -> Look {
        self.look
    }

    /// How a picture of the present light and look is cut into tiles.
    pub fn tile_plan(&self, view: View) -> TilePlan {
        TilePlan::new(view, self.light.as_ref().map(|l| &l.0), &self.look, self.largest_side())
    }

    /// The luminance that the picture shows as white, cd/m².
    pub fn white_cd_m2(&self) -> Option<f64> {
        let (_, level) = self.light.as_ref()?;
        Some(self.look.white_cd_m2(level))
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
        if !self.stale && self.target.is_some() {
            return;
        }
        let uniforms = self
            .light
            .as_ref()
            .map(|(tables, level)| self.look.uniforms(level, tables, &self.view, self.tiled));
        let plan = uniforms.as_ref().and_then(|u| u.plan.as_ref());
        let [width, height] = plan.map_or(self.view, |plan| plan.target).size_px;
        let fits = |t: &Target| {
            t.texture.width() == width
                && t.texture.height() == height
                && match (&t.spread, plan) {
                    (None, None) => true,
                    (Some(spread), Some(plan)) => spread.fits(plan),
                    _ => false,
                }
        };
        if !self.target.as_ref().is_some_and(fits) {
            self.target = Some(self.make_target(width, height, plan));
            self.around_stale = true;
        }
        if let Some(Uniforms { frame, around, tone, plan }) = &uniforms {
            self.queue.write_buffer(&self.frame_uniform, 0, bytemuck::bytes_of(frame));
            self.queue.write_buffer(&self.tone_uniform, 0, bytemuck::bytes_of(tone));
            if let Some(around) = around {
                self.queue.write_buffer(&self.around_uniform, 0, bytemuck::bytes_of(around));
            }
            if let (Some(plan), Some(spread)) = (plan, self.target.as_ref().and_then(|t| t.spread.as_ref())) {
                spread.write(&self.queue, plan);
            }
        }
        self.stale = false;
    }

    fn spread(&self) -> &SpreadPasses {
        self.spread.get_or_init(|| SpreadPasses::new(&self.device))
    }

    /// Draws scene light, and light spread in the eye from it.
    fn draw_scene(&mut self, encoder: &mut wgpu::CommandEncoder) {
        let Some(target) = &self.target else { return };
        self.draw_window(encoder, &target.view, |textures| &textures.bindings);
        if let Some(spread) = &target.spread {
            if self.around_stale {
                self.draw_window(encoder, spread.around_view(), |textures| &textures.around_bindings);
                spread.draw_around(encoder, self.spread());
            }
            spread.draw(encoder, self.spread());
        }
        self.around_stale = false;
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
        let exposure = level.exposure(self.look.mode, self.look.exposure);
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
        let bound = |uniform: &wgpu::Buffer| {
            bind(&self.device, "scene", &self.scene_layout, uniform.as_entire_binding(), &views)
        };
        let (bindings, around_bindings) = (bound(&self.frame_uniform), bound(&self.around_uniform));
        let [responses, pieces, field] = textures;
        GpuTables { responses, pieces, field, bindings, around_bindings }
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

    fn make_target(&self, width: u32, height: u32, plan: Option<&Plan>) -> Target {
        let texture = scene_texture(&self.device, "scene light", [width, height]);
        let view = texture.create_view(&wgpu::TextureViewDescriptor::default());
        let spread = plan.map(|plan| SpreadTargets::new(&self.device, self.spread(), plan, &view));
        let blurred = spread.as_ref().map_or(&view, SpreadTargets::result);
        let views = [view.clone(), blurred.clone()];
        let uniform = self.tone_uniform.as_entire_binding();
        let bindings = bind(&self.device, "tone", &self.tone_layout, uniform, &views);
        Target { texture, view, spread, bindings }
    }
}

/// A texture that light is drawn to and read from.
pub(crate) fn scene_texture(device: &wgpu::Device, label: &str, [width, height]: [u32; 2]) -> wgpu::Texture {
    device.create_texture(&wgpu::TextureDescriptor {
        label: Some(label),
        size: wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
        mip_level_count: 1,
        sample_count: 1,
        dimension: wgpu::TextureDimension::D2,
        format: SCENE_FORMAT,
        usage: wgpu::TextureUsages::RENDER_ATTACHMENT
            | wgpu::TextureUsages::TEXTURE_BINDING
            | wgpu::TextureUsages::COPY_SRC,
        view_formats: &[],
    })
}

/// A uniform buffer and some textures, read texel by texel.
pub(crate) fn layout(device: &wgpu::Device, label: &str, textures: u32) -> wgpu::BindGroupLayout {
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

pub(crate) fn bind(
    device: &wgpu::Device,
    label: &str,
    layout: &wgpu::BindGroupLayout,
    uniform: wgpu::BindingResource<'_>,
    textures: &[wgpu::TextureView],
) -> wgpu::BindGroup {
    let mut entries = vec![wgpu::BindGroupEntry { binding: 0, resource: uniform }];
    entries.extend(textures.iter().enumerate().map(|(k, view)| wgpu::BindGroupEntry {
        binding: k as u32 + 1,
        resource: wgpu::BindingResource::TextureView(view),
    }));
    device.create_bind_group(&wgpu::BindGroupDescriptor { label: Some(label), layout, entries: &entries })
}

pub(crate) fn pipeline(
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

pub(crate) fn begin<'a>(
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
