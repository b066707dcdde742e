//! What a picture is drawn to before the screen: scene light, and the light that spreads from it.

use crate::eye::spread::Plan;
use crate::gpu::device::scene_texture;
use crate::gpu::owned::Owned;
use crate::gpu::pipeline::bind;
use crate::gpu::spread::{SpreadPasses, SpreadTargets};

/// Scene light of one picture, and the light that spreads from it.
#[derive(Debug)]
pub(crate) struct Target {
    pub(crate) texture: Owned<wgpu::Texture>,
    pub(crate) view: wgpu::TextureView,
    pub(crate) spread: Option<SpreadTargets>,
    /// Whether the picture of the whole window, from which light spreads, must be redrawn.
    pub(crate) around_stale: bool,
    /// For the pass to the screen.
    pub(crate) bindings: wgpu::BindGroup,
}

impl Target {
    /// `tone_layout`, `tone_uniform`: of the pass to the screen. `spread`: how light spreads, if it does.
    pub(crate) fn new(
        device: &wgpu::Device,
        size: [u32; 2],
        tone_layout: &wgpu::BindGroupLayout,
        tone_uniform: &wgpu::Buffer,
        spread: Option<(&SpreadPasses, &Plan)>,
    ) -> Self {
        let texture = scene_texture(device, "scene light", size);
        let view = texture.create_view(&wgpu::TextureViewDescriptor::default());
        let spread = spread.map(|(passes, plan)| SpreadTargets::new(device, passes, plan, &view));
        let blurred = spread.as_ref().map_or(&view, SpreadTargets::result);
        let views = [view.clone(), blurred.clone()];
        let bindings = bind(device, "tone", tone_layout, tone_uniform.as_entire_binding(), &views);
        Self { texture, view, spread, around_stale: true, bindings }
    }

    /// Whether the target has this size and spreads light by these passes.
    pub(crate) fn fits(&self, [width, height]: [u32; 2], plan: Option<&Plan>) -> bool {
        self.texture.width() == width
            && self.texture.height() == height
            && match (&self.spread, plan) {
                (None, None) => true,
                (Some(spread), Some(plan)) => spread.fits(plan),
                _ => false,
            }
    }
}
