//! Pipelines, bindings and render passes.

use crate::gpu::shaders::Pass;
use crate::shared::layout::{Field, Kind, Layout};

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
        visibility: wgpu::ShaderStages::VERTEX_FRAGMENT,
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

/// A vertex's fields as attributes of a pipeline, at ascending locations.
pub(crate) fn attributes<T: Layout>() -> Vec<wgpu::VertexAttribute> {
    let attribute = |(location, field): (usize, &Field)| wgpu::VertexAttribute {
        format: match field.kind {
            Kind::F32 => wgpu::VertexFormat::Float32,
            Kind::U32 => wgpu::VertexFormat::Uint32,
            Kind::Vec2 => wgpu::VertexFormat::Float32x2,
            Kind::Vec3 => wgpu::VertexFormat::Float32x3,
            Kind::Vec4 => wgpu::VertexFormat::Float32x4,
        },
        offset: field.offset as u64,
        shader_location: location as u32,
    };
    T::FIELDS.iter().enumerate().map(attribute).collect()
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
