//! Pixels read back from a device.

use std::sync::{Arc, Mutex};

use crate::error::RenderError;
use crate::gpu::owned::Owned;

/// Pixels being read back from the device. Call [`PendingPixels::poll`] until they arrive; in a browser, return to the
/// event loop between calls.
#[derive(Debug)]
pub struct PendingPixels {
    buffer: Owned<wgpu::Buffer>,
    outcome: Arc<Mutex<Option<Result<(), wgpu::BufferAsyncError>>>>,
    size_px: [u32; 2],
    bytes_per_pixel: u32,
    bytes_per_row: u32,
    swap_red_and_blue: bool,
}

impl PendingPixels {
    pub(crate) fn new(
        device: &wgpu::Device,
        queue: &wgpu::Queue,
        texture: &wgpu::Texture,
        bytes_per_pixel: u32,
        swap_red_and_blue: bool,
    ) -> Self {
        let size_px = [texture.width(), texture.height()];
        let bytes_per_row =
            (size_px[0] * bytes_per_pixel).next_multiple_of(wgpu::COPY_BYTES_PER_ROW_ALIGNMENT);
        let buffer = Owned::new(device.create_buffer(&wgpu::BufferDescriptor {
            label: Some("read back"),
            size: u64::from(bytes_per_row) * u64::from(size_px[1]),
            usage: wgpu::BufferUsages::COPY_DST | wgpu::BufferUsages::MAP_READ,
            mapped_at_creation: false,
        }));
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

    /// The pixels, tightly packed, or `None` if they have not arrived yet.
    ///
    /// # Errors
    /// [`RenderError::ReadBack`] if the device has failed or was lost.
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
            .ok_or_else(|| RenderError::ReadBack("the device finished without delivering the pixels".into()))
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
#[cfg(not(target_arch = "wasm32"))]
pub(crate) fn from_half_floats(bytes: &[u8]) -> Vec<f32> {
    bytes.as_chunks::<2>().0.iter().map(|b| from_half(u16::from_le_bytes(*b))).collect()
}

#[cfg(not(target_arch = "wasm32"))]
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
