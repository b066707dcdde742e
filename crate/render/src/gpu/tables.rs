//! An instant's tables on a device, as textures read texel by texel.

use crate::gpu::owned::Owned;
use crate::gpu::pipeline::bind;
use crate::light::tables::LightTables;

/// The textures, bound beside the frame's uniforms and beside those of the picture of the whole window.
#[derive(Debug)]
pub(crate) struct GpuTables {
    textures: [Owned<wgpu::Texture>; 3],
    pub(crate) bindings: wgpu::BindGroup,
    pub(crate) around_bindings: wgpu::BindGroup,
}

/// Sizes of the textures of responses, pieces and field.
pub(crate) fn sizes(tables: &LightTables) -> [[u32; 2]; 3] {
    [tables.response_size(), tables.piece_size(), tables.field_texture_size()]
}

impl GpuTables {
    /// Empty textures of these sizes.
    pub(crate) fn new(
        device: &wgpu::Device,
        layout: &wgpu::BindGroupLayout,
        frame: &wgpu::Buffer,
        around: &wgpu::Buffer,
        sizes: [[u32; 2]; 3],
    ) -> Self {
        let texture = |label, [width, height]: [u32; 2]| {
            Owned::new(device.create_texture(&wgpu::TextureDescriptor {
                label: Some(label),
                size: wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
                mip_level_count: 1,
                sample_count: 1,
                dimension: wgpu::TextureDimension::D2,
                format: wgpu::TextureFormat::Rgba32Float,
                usage: wgpu::TextureUsages::TEXTURE_BINDING | wgpu::TextureUsages::COPY_DST,
                view_formats: &[],
            }))
        };
        let [responses, pieces, field] = sizes;
        let textures = [texture("responses", responses), texture("pieces", pieces), texture("field", field)];
        let views =
            [0, 1, 2].map(|k: usize| textures[k].create_view(&wgpu::TextureViewDescriptor::default()));
        let bound =
            |uniform: &wgpu::Buffer| bind(device, "scene", layout, uniform.as_entire_binding(), &views);
        let (bindings, around_bindings) = (bound(frame), bound(around));
        Self { textures, bindings, around_bindings }
    }

    /// Whether the textures have these sizes.
    pub(crate) fn fits(&self, sizes: [[u32; 2]; 3]) -> bool {
        self.textures.iter().zip(sizes).all(|(t, size)| [t.width(), t.height()] == size)
    }

    /// Uploads the tables of an instant.
    pub(crate) fn write(&self, queue: &wgpu::Queue, tables: &LightTables) {
        let [responses, pieces, field] = &self.textures;
        upload(queue, responses, &tables.response_texels());
        upload(queue, pieces, bytemuck::cast_slice(&tables.pieces));
        upload(queue, field, &tables.field_texels());
    }
}

/// Writes texels row by row; the last row may be incomplete.
fn upload(queue: &wgpu::Queue, texture: &wgpu::Texture, texels: &[[f32; 4]]) {
    let width = texture.width();
    let whole = texels.len() as u32 / width;
    let rest = texels.len() as u32 % width;
    for (from, [w, h]) in [(0, [width, whole]), (whole, [rest, 1])] {
        if w == 0 || h == 0 {
            continue;
        }
        let data = &texels[(from * width) as usize..][..(w * h) as usize];
        queue.write_texture(
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
