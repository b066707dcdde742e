//! The spread of light in the eye on a device, following the plan of `eye::spread`.

use crate::eye::spread::{Plan, Spread, Step};
use crate::gpu::device::{SCENE_FORMAT, scene_texture};
use crate::gpu::owned::Owned;
use crate::gpu::pipeline::{begin, bind, layout, pipeline};
use crate::gpu::shaders::Pass;

/// Shared by all pictures of a device.
#[derive(Debug)]
pub(crate) struct SpreadPasses {
    layout: wgpu::BindGroupLayout,
    down: wgpu::RenderPipeline,
    up: wgpu::RenderPipeline,
}

impl SpreadPasses {
    pub(crate) fn new(device: &wgpu::Device) -> Self {
        let layout = layout(device, "spread", 2);
        let down = pipeline(device, Pass::SpreadDown, &layout, None, SCENE_FORMAT);
        let up = pipeline(device, Pass::SpreadUp, &layout, None, SCENE_FORMAT);
        Self { layout, down, up }
    }
}

/// One pass: its target and what it reads.
#[derive(Debug)]
struct Drawn {
    size: [u32; 2],
    to: wgpu::TextureView,
    bindings: wgpu::BindGroup,
}

/// The levels of one picture and of the window around it.
#[derive(Debug)]
pub(crate) struct SpreadTargets {
    uniforms: Owned<wgpu::Buffer>,
    /// Bytes from one pass's uniform to the next.
    stride: u64,
    /// Of all the levels.
    _textures: Vec<Owned<wgpu::Texture>>,
    around: wgpu::TextureView,
    around_size: [u32; 2],
    around_down: Vec<Drawn>,
    around_up: Vec<Drawn>,
    near_down: Vec<Drawn>,
    near_up: Vec<Drawn>,
}

fn steps(plan: &Plan) -> [&[Step]; 4] {
    [&plan.around_down, &plan.around_up, &plan.near_down, &plan.near_up]
}

impl SpreadTargets {
    /// `scene`: the picture from which light spreads.
    pub(crate) fn new(
        device: &wgpu::Device,
        passes: &SpreadPasses,
        plan: &Plan,
        scene: &wgpu::TextureView,
    ) -> Self {
        let size = size_of::<Spread>() as u64;
        let stride = size.next_multiple_of(u64::from(device.limits().min_uniform_buffer_offset_alignment));
        let count: usize = steps(plan).iter().map(|s| s.len()).sum();
        let uniforms = Owned::new(device.create_buffer(&wgpu::BufferDescriptor {
            label: Some("spread"),
            size: stride * count as u64,
            usage: wgpu::BufferUsages::UNIFORM | wgpu::BufferUsages::COPY_DST,
            mapped_at_creation: false,
        }));
        let mut textures = Vec::new();
        let mut texture = |size| {
            let texture = scene_texture(device, "spread", size);
            let view = texture.create_view(&wgpu::TextureViewDescriptor::default());
            textures.push(texture);
            view
        };
        let around = texture(plan.around.size_px);
        let mut number = 0;
        let mut drawn = |step: &Step, own: &wgpu::TextureView, other: &wgpu::TextureView| {
            let uniform = wgpu::BindingResource::Buffer(wgpu::BufferBinding {
                buffer: &uniforms,
                offset: number * stride,
                size: std::num::NonZeroU64::new(size),
            });
            number += 1;
            let views = [own.clone(), other.clone()];
            let bindings = bind(device, "spread", &passes.layout, uniform, &views);
            Drawn { size: step.size, to: texture(step.size), bindings }
        };
        // In the order of `steps`, which is also that of the uniforms.
        let mut around_down: Vec<Drawn> = Vec::new();
        for step in &plan.around_down {
            let own = around_down.last().map_or(&around, |d| &d.to).clone();
            around_down.push(drawn(step, &own, &own));
        }
        let mut around_up: Vec<Drawn> = Vec::new();
        for (step, own) in plan.around_up.iter().zip(around_down.iter().rev()) {
            let below = around_up.last().map_or(&own.to, |d| &d.to).clone();
            around_up.push(drawn(step, &own.to, &below));
        }
        let mut near_down: Vec<Drawn> = Vec::new();
        for step in &plan.near_down {
            let own = near_down.last().map_or(scene, |d| &d.to).clone();
            near_down.push(drawn(step, &own, &around));
        }
        let mut near_up: Vec<Drawn> = Vec::new();
        for (step, own) in plan.near_up.iter().zip(near_down.iter().rev()) {
            let below = near_up.last().or(around_up.last()).map_or(&own.to, |d| &d.to).clone();
            near_up.push(drawn(step, &own.to, &below));
        }
        let around_size = plan.around.size_px;
        Self {
            uniforms,
            stride,
            _textures: textures,
            around,
            around_size,
            around_down,
            around_up,
            near_down,
            near_up,
        }
    }

    /// Whether these targets fit a plan.
    pub(crate) fn fits(&self, plan: &Plan) -> bool {
        let mine = [&self.around_down, &self.around_up, &self.near_down, &self.near_up];
        self.around_size == plan.around.size_px
            && mine.iter().zip(steps(plan)).all(|(mine, steps)| {
                mine.len() == steps.len() && mine.iter().zip(steps).all(|(d, s)| d.size == s.size)
            })
    }

    /// Uploads a plan's uniforms.
    pub(crate) fn write(&self, queue: &wgpu::Queue, plan: &Plan) {
        let mut bytes = Vec::new();
        for step in steps(plan).into_iter().flatten() {
            bytes.extend_from_slice(bytemuck::bytes_of(&step.uniform));
            bytes.resize(bytes.len().next_multiple_of(self.stride as usize), 0);
        }
        queue.write_buffer(&self.uniforms, 0, &bytes);
    }

    /// The target for the picture of the whole window.
    pub(crate) fn around_view(&self) -> &wgpu::TextureView {
        &self.around
    }

    /// The blurred picture, half its size.
    pub(crate) fn result(&self) -> &wgpu::TextureView {
        self.near_up.last().map_or(&self.around, |d| &d.to)
    }

    /// Computes the levels of the whole window, once it has been drawn.
    pub(crate) fn draw_around(&self, encoder: &mut wgpu::CommandEncoder, passes: &SpreadPasses) {
        run(encoder, &passes.down, &self.around_down);
    }

    /// Computes everything else.
    pub(crate) fn draw(&self, encoder: &mut wgpu::CommandEncoder, passes: &SpreadPasses) {
        run(encoder, &passes.up, &self.around_up);
        run(encoder, &passes.down, &self.near_down);
        run(encoder, &passes.up, &self.near_up);
    }
}

fn run(encoder: &mut wgpu::CommandEncoder, pipeline: &wgpu::RenderPipeline, drawn: &[Drawn]) {
    for Drawn { to, bindings, .. } in drawn {
        let mut pass = begin(encoder, "spread", to, wgpu::Color::BLACK);
        pass.set_pipeline(pipeline);
        pass.set_bind_group(0, bindings, &[]);
        pass.draw(0..3, 0..1);
    }
}
