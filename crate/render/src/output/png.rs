//! Pictures as PNG files with their colour space.

use std::{cell::RefCell, io::Write, rc::Rc};

use glam::{DMat3, DVec3};

use crate::rgb::Gamut;
use crate::rgb::xyz_from_rgb;

/// A picture could not be written as PNG.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// The pixels do not fill the size.
    #[error(
        "a picture of {width} × {height} pixels needs {expected} bytes, found {found}; pass RGBA, 8 bits each"
    )]
    Size {
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
        /// Bytes that the size needs.
        expected: usize,
        /// Bytes given.
        found: usize,
    },
    /// The encoder failed.
    #[error("the picture could not be encoded: {0}")]
    Encoding(#[from] png::EncodingError),
}

/// Encodes RGBA8 pixels (rows from the top) as a PNG, as [`PngRows`] writes it.
///
/// # Errors
/// [`PngError::Size`] if the pixels do not fill the size.
pub fn encode(rgba: &[u8], size: [u32; 2], gamut: Gamut) -> Result<Vec<u8>, PngError> {
    let file = PngBytes::default();
    let mut rows = PngRows::new(file.clone(), size, gamut)?;
    rows.write(rgba)?;
    rows.finish()?;
    Ok(file.take())
}

/// A shared buffer in memory for [`PngRows`] to write to.
#[derive(Clone, Debug, Default)]
pub struct PngBytes(Rc<RefCell<Vec<u8>>>);

impl PngBytes {
    /// Takes the bytes written so far and empties the buffer.
    pub fn take(&self) -> Vec<u8> {
        self.0.take()
    }
}

impl Write for PngBytes {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.borrow_mut().write(bytes)
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

/// An RGB PNG written row by row, so that only a few rows are held in memory at once.
///
/// Its colour space is stated twice: in a cICP chunk, and in an ICC profile for readers without cICP. cICP holds
/// the code points of ITU-T H.273: primaries 1 (BT.709) or 12 (SMPTE EG 432-1, P3 with D65), transfer 13 (IEC
/// 61966-2-1), matrix 0 (RGB), full range.
pub struct PngRows<W: Write + 'static> {
    image: png::StreamWriter<'static, W>,
    size: [u32; 2],
    /// Bytes of pixels received so far, four for each.
    taken: usize,
    row: Vec<u8>,
}

impl<W: Write + 'static> std::fmt::Debug for PngRows<W> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("PngRows")
            .field("size", &self.size)
            .field("taken", &self.taken)
            .finish_non_exhaustive()
    }
}

impl<W: Write + 'static> PngRows<W> {
    /// Writes the header.
    ///
    /// # Errors
    /// [`PngError::Encoding`] if the size is 0 or the writer fails.
    pub fn new(to: W, size: [u32; 2], gamut: Gamut) -> Result<Self, PngError> {
        let mut info = png::Info::with_size(size[0], size[1]);
        info.color_type = png::ColorType::Rgb;
        info.bit_depth = png::BitDepth::Eight;
        info.icc_profile = Some(profile(gamut).into());
        let primaries = match gamut {
            Gamut::Srgb => 1,
            Gamut::DisplayP3 => 12,
        };
        let mut encoder = png::Encoder::with_info(to, info)?;
        encoder.set_compression(png::Compression::Balanced);
        let mut writer = encoder.write_header()?;
        writer.write_chunk(png::chunk::ChunkType(*b"cICP"), &[primaries, 13, 0, 1])?;
        let image = writer.into_stream_writer()?;
        Ok(Self { image, size, taken: 0, row: Vec::new() })
    }

    /// Writes the next pixels, RGBA, 8 bits each.
    ///
    /// # Errors
    /// [`PngError::Size`] if there are more pixels than the size allows; [`PngError::Encoding`] if the writer
    /// fails.
    pub fn write(&mut self, rgba: &[u8]) -> Result<(), PngError> {
        self.taken += rgba.len();
        if self.taken > self.expected() {
            return Err(self.wrong_size());
        }
        for row in rgba.chunks(self.size[0].max(1) as usize * 4) {
            self.row.clear();
            self.row.extend(row.as_chunks::<4>().0.iter().flat_map(|p| [p[0], p[1], p[2]]));
            self.image.write_all(&self.row).map_err(png::EncodingError::from)?;
        }
        Ok(())
    }

    /// Writes the end of the file.
    ///
    /// # Errors
    /// As [`PngRows::write`]; also [`PngError::Size`] if the pixels do not fill the size.
    pub fn finish(self) -> Result<(), PngError> {
        if self.taken != self.expected() {
            return Err(self.wrong_size());
        }
        Ok(self.image.finish()?)
    }

    fn expected(&self) -> usize {
        self.size[0] as usize * self.size[1] as usize * 4
    }

    fn wrong_size(&self) -> PngError {
        let [width, height] = self.size;
        PngError::Size { width, height, expected: self.expected(), found: self.taken }
    }
}

/// From D65 to D50 by Bradford; Lam 1985 as in ICC.1:2010, annex E.
const D50_FROM_D65: DMat3 = DMat3::from_cols(
    DVec3::new(1.047_882, 0.029_587, -0.009_232),
    DVec3::new(0.022_919, 0.990_479, 0.015_076),
    DVec3::new(-0.050_217, -0.017_059, 0.751_679),
);

/// A small ICC profile (version 4.3 matrix and curve, ICC.1:2010): primaries adapted to D50, curve of sRGB as
/// parametric type 3.
fn profile(gamut: Gamut) -> Vec<u8> {
    let (name, space) = match gamut {
        Gamut::Srgb => ("sRGB", Gamut::Srgb),
        Gamut::DisplayP3 => ("Display P3", Gamut::DisplayP3),
    };
    // Columns of the matrix to D50; their sum is D50.
    let d50_from_rgb = D50_FROM_D65 * xyz_from_rgb(space);
    let primary = |k: usize| d50_from_rgb.col(k).to_array();

    let fixed = |v: f64| ((v * 65536.0).round() as i32).to_be_bytes();
    let xyz = |v: [f64; 3]| {
        let mut tag = b"XYZ \0\0\0\0".to_vec();
        v.iter().for_each(|x| tag.extend(fixed(*x)));
        tag
    };
    let text = |s: &str| {
        let mut tag = b"mluc\0\0\0\0\0\0\0\x01\0\0\0\x0cenUS".to_vec();
        tag.extend((s.len() as u32 * 2).to_be_bytes());
        tag.extend(28_u32.to_be_bytes());
        tag.extend(s.encode_utf16().flat_map(u16::to_be_bytes));
        tag
    };
    let mut curve = b"para\0\0\0\0\0\x03\0\0".to_vec();
    for v in [2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.04045] {
        curve.extend(fixed(v));
    }
    let mut adaptation = b"sf32\0\0\0\0".to_vec();
    for v in D50_FROM_D65.transpose().to_cols_array() {
        adaptation.extend(fixed(v));
    }
    let tags: [([u8; 4], Vec<u8>); 8] = [
        (*b"desc", text(name)),
        (*b"cprt", text("No copyright, use freely")),
        (*b"wtpt", xyz([0.964_2, 1.0, 0.824_9])),
        (*b"rXYZ", xyz(primary(0))),
        (*b"gXYZ", xyz(primary(1))),
        (*b"bXYZ", xyz(primary(2))),
        (*b"rTRC", curve),
        (*b"chad", adaptation),
    ];
    let mut table = Vec::new();
    let mut data: Vec<u8> = Vec::new();
    let count = tags.len() as u32 + 2;
    let first = 128 + 4 + 12 * count;
    let mut curve_at = (0, 0);
    let mut entry = |name: [u8; 4], (offset, length): (u32, u32)| {
        table.extend(name);
        table.extend(offset.to_be_bytes());
        table.extend(length.to_be_bytes());
    };
    for (name, tag) in &tags {
        let place = (first + data.len() as u32, tag.len() as u32);
        if name == b"rTRC" {
            curve_at = place;
        }
        entry(*name, place);
        data.extend(tag);
        data.resize(data.len().next_multiple_of(4), 0);
    }
    // Three channels, one curve.
    entry(*b"gTRC", curve_at);
    entry(*b"bTRC", curve_at);

    let mut profile = Vec::new();
    profile.extend((first + data.len() as u32).to_be_bytes());
    profile.extend([0; 4]);
    profile.extend(0x0430_0000_u32.to_be_bytes());
    profile.extend(*b"mntrRGB XYZ ");
    // A fixed date, so that the same picture always gives the same file.
    profile.extend([2026_u16, 1, 1, 0, 0, 0].iter().flat_map(|v| v.to_be_bytes()));
    profile.extend(*b"acsp");
    profile.extend([0; 4 + 4 + 4 + 4 + 8]);
    profile.extend(1_u32.to_be_bytes());
    [0.964_2, 1.0, 0.824_9].iter().for_each(|v| profile.extend(fixed(*v)));
    profile.resize(128, 0);
    profile.extend(count.to_be_bytes());
    profile.extend(table);
    profile.extend(data);
    profile
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pixels_and_colour_tags_read_back() {
        let rgba: Vec<u8> = (0..6 * 4).map(|i| if i % 4 == 3 { 255 } else { i * 9 }).collect();
        for (gamut, code) in [(Gamut::Srgb, 1), (Gamut::DisplayP3, 12)] {
            let file = encode(&rgba, [3, 2], gamut).unwrap();
            let mut reader = png::Decoder::new(std::io::Cursor::new(&file)).read_info().unwrap();
            let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
            reader.next_frame(&mut pixels).unwrap();
            let info = reader.info();
            let cicp = info.coding_independent_code_points.unwrap();
            assert_eq!(
                (cicp.color_primaries, cicp.transfer_function, cicp.matrix_coefficients),
                (code, 13, 0)
            );
            assert!(cicp.is_video_full_range_image);
            assert_eq!(info.icc_profile.as_deref(), Some(profile(gamut).as_slice()));
            assert!(info.srgb.is_none(), "an ICC profile excludes an sRGB chunk");
            let expected: Vec<u8> = rgba.as_chunks::<4>().0.iter().flat_map(|p| [p[0], p[1], p[2]]).collect();
            assert_eq!(pixels, expected);
        }
        assert!(matches!(
            encode(&rgba, [3, 3], Gamut::Srgb),
            Err(PngError::Size { expected: 36, found: 24, .. })
        ));
    }

    #[test]
    fn rows_arrive_in_any_number_but_must_fill_the_picture() {
        let rgba: Vec<u8> = (0..5 * 7 * 4).map(|i| if i % 4 == 3 { 255 } else { i as u8 }).collect();
        let file = PngBytes::default();
        let mut rows = PngRows::new(file.clone(), [5, 7], Gamut::Srgb).unwrap();
        for part in [&rgba[..20], &rgba[20..100], &rgba[100..]] {
            rows.write(part).unwrap();
        }
        rows.finish().unwrap();
        assert_eq!(file.take(), encode(&rgba, [5, 7], Gamut::Srgb).unwrap());
        let mut short = PngRows::new(Vec::new(), [5, 7], Gamut::Srgb).unwrap();
        short.write(&rgba[..20]).unwrap();
        assert!(matches!(short.finish(), Err(PngError::Size { found: 20, .. })));
        let mut long = PngRows::new(Vec::new(), [5, 6], Gamut::Srgb).unwrap();
        assert!(matches!(long.write(&rgba), Err(PngError::Size { found: 140, .. })));
    }

    // The primaries as stored in widely used ICC profiles: sRGB (from the profile registry of the ICC) and Display
    // P3, to 1e-4, since adaptation matrices differ in the fifth decimal.
    #[test]
    fn profiles_are_well_formed_and_contain_their_primaries() {
        for (gamut, red, blue) in [
            (Gamut::Srgb, [0.436_07, 0.222_49, 0.013_92], [0.143_07, 0.060_61, 0.714_10]),
            (Gamut::DisplayP3, [0.515_12, 0.241_20, -0.001_05], [0.157_10, 0.066_57, 0.784_07]),
        ] {
            let profile = profile(gamut);
            let word = |at: usize| u32::from_be_bytes(profile[at..at + 4].try_into().unwrap());
            assert_eq!(word(0) as usize, profile.len());
            let mut sum = [0.0; 3];
            for k in 0..word(128) as usize {
                let at = 132 + 12 * k;
                let (offset, length) = (word(at + 4) as usize, word(at + 8) as usize);
                assert!(offset + length <= profile.len() && offset % 4 == 0);
                if profile[at + 1..at + 4] == *b"XYZ" {
                    let xyz = [0, 1, 2].map(|i| f64::from(word(offset + 8 + 4 * i) as i32) / 65536.0);
                    sum = [0, 1, 2].map(|i: usize| sum[i] + xyz[i]);
                    let expected = match profile[at] {
                        b'r' => red,
                        b'b' => blue,
                        _ => xyz,
                    };
                    assert!((0..3).all(|i| (xyz[i] - expected[i]).abs() < 2e-4), "{xyz:?} {expected:?}");
                }
            }
            for (s, d50) in sum.iter().zip([0.964_2, 1.0, 0.824_9]) {
                assert!((s - d50).abs() < 2e-4, "{sum:?}");
            }
        }
    }
}
