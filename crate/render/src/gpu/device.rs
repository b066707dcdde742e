//! Limits and formats that every device must offer.

use crate::gpu::owned::Owned;

/// Format of scene light: signed linear RGB times exposure.
pub(crate) const SCENE_FORMAT: wgpu::TextureFormat = wgpu::TextureFormat::Rgba16Float;

/// The limits requested of every device: those of WebGL2, with textures as large as the adapter allows.
pub(crate) fn limits(adapter: &wgpu::Adapter) -> wgpu::Limits {
    wgpu::Limits::downlevel_webgl2_defaults().using_resolution(adapter.limits())
}

/// A texture to draw scene light to and read it from.
pub(crate) fn scene_texture(
    device: &wgpu::Device,
    label: &str,
    [width, height]: [u32; 2],
) -> Owned<wgpu::Texture> {
    Owned::new(device.create_texture(&wgpu::TextureDescriptor {
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
    }))
}
