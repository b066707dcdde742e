//! A window's triangles on a device.

use bytemuck::Pod;

use crate::gpu::owned::Owned;
use crate::window::mesh::WindowMesh;

/// Buffers of the triangles.
#[derive(Debug)]
pub(crate) struct GpuMesh {
    glass_vertices: Owned<wgpu::Buffer>,
    glass_indices: Owned<wgpu::Buffer>,
    glass_count: u32,
    solid_vertices: Owned<wgpu::Buffer>,
    solid_indices: Owned<wgpu::Buffer>,
    behind: std::ops::Range<u32>,
    before: std::ops::Range<u32>,
}

impl GpuMesh {
    pub(crate) fn new(device: &wgpu::Device, queue: &wgpu::Queue, mesh: &WindowMesh) -> Self {
        let vertices = wgpu::BufferUsages::VERTEX;
        let indices = wgpu::BufferUsages::INDEX;
        Self {
            glass_vertices: buffer(device, queue, "glass corners", &mesh.glass.vertices, vertices),
            glass_indices: buffer(device, queue, "glass triangles", &mesh.glass.indices, indices),
            glass_count: mesh.glass.indices.len() as u32,
            solid_vertices: buffer(device, queue, "lead corners", &mesh.solid.vertices, vertices),
            solid_indices: buffer(device, queue, "lead triangles", &mesh.solid.indices, indices),
            behind: mesh.behind.clone(),
            before: mesh.before.clone(),
        }
    }

    /// Draws the solids behind the edge of the glass, the glass, and the solids in front of it.
    pub(crate) fn draw(
        &self,
        pass: &mut wgpu::RenderPass<'_>,
        glass: &wgpu::RenderPipeline,
        solid: &wgpu::RenderPipeline,
    ) {
        let solids = |pass: &mut wgpu::RenderPass<'_>, range: &std::ops::Range<u32>| {
            if !range.is_empty() {
                pass.set_pipeline(solid);
                pass.set_vertex_buffer(0, self.solid_vertices.slice(..));
                pass.set_index_buffer(self.solid_indices.slice(..), wgpu::IndexFormat::Uint32);
                pass.draw_indexed(range.clone(), 0, 0..1);
            }
        };
        solids(pass, &self.behind);
        if self.glass_count > 0 {
            pass.set_pipeline(glass);
            pass.set_vertex_buffer(0, self.glass_vertices.slice(..));
            pass.set_index_buffer(self.glass_indices.slice(..), wgpu::IndexFormat::Uint32);
            pass.draw_indexed(0..self.glass_count, 0, 0..1);
        }
        solids(pass, &self.before);
    }
}

fn buffer<T: Pod>(
    device: &wgpu::Device,
    queue: &wgpu::Queue,
    label: &str,
    data: &[T],
    usage: wgpu::BufferUsages,
) -> Owned<wgpu::Buffer> {
    let bytes = bytemuck::cast_slice(data);
    let buffer = Owned::new(device.create_buffer(&wgpu::BufferDescriptor {
        label: Some(label),
        size: (bytes.len() as u64).max(4),
        usage: usage | wgpu::BufferUsages::COPY_DST,
        mapped_at_creation: false,
    }));
    if !bytes.is_empty() {
        queue.write_buffer(&buffer, 0, bytes);
    }
    buffer
}
