//! Pictures as PNG files that say what their colours mean.

use std::io::Write;

use crate::tone::Gamut;

/// A picture could not be written as PNG.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// The pixels do not fill the size.
    #[error(
        "a picture of {width} × {height} pixels needs {expected} bytes, got {found}; hand over RGBA, 8 bits each"
    )]
    Size {
        /// Pixels across.
        width: u32,
        /// Pixels down.
        height: u32,
        /// Bytes that the size asks for.
        expected: usize,
        /// Bytes given.
        found: usize,
    },
    /// The encoder refused.
    #[error("the picture could not be encoded: {0}")]
    Encoding(#[from] png::EncodingError),
}

/// Encodes RGBA8 pixels (rows from the top) as an RGB PNG with a cICP chunk, and beside it for readers that do
/// not know cICP an sRGB chunk or an ICC profile of Display-P3.
///
/// cICP holds the code points of ITU-T H.273: primaries 1 (BT.709) or 12 (SMPTE EG 432-1, P3 with D65),
/// transfer 13 (IEC 61966-2-1), matrix 0 (RGB), full range.
///
/// # Errors
/// [`PngError::Size`] when the pixels do not fill the size.
pub fn encode(rgba: &[u8], size: [u32; 2], gamut: Gamut) -> Result<Vec<u8>, PngError> {
    let [width, height] = size;
    let expected = width as usize * height as usize * 4;
    if rgba.len() != expected {
        return Err(PngError::Size { width, height, expected, found: rgba.len() });
    }
    let mut info = png::Info::with_size(width, height);
    info.color_type = png::ColorType::Rgb;
    info.bit_depth = png::BitDepth::Eight;
    let primaries = match gamut {
        Gamut::Srgb => {
            info.srgb = Some(png::SrgbRenderingIntent::RelativeColorimetric);
            1
        }
        Gamut::DisplayP3 => {
            info.icc_profile = Some(display_p3_profile().into());
            12
        }
    };
    let rgb: Vec<u8> = rgba.as_chunks::<4>().0.iter().flat_map(|p| [p[0], p[1], p[2]]).collect();
    let mut file = Vec::new();
    {
        let mut encoder = png::Encoder::with_info(&mut file, info)?;
        encoder.set_compression(png::Compression::Balanced);
        let mut writer = encoder.write_header()?;
        writer.write_image_data(&rgb)?;
        writer.finish()?;
    }
    insert_after_header(&mut file, *b"cICP", &[primaries, 13, 0, 1]);
    Ok(file)
}

/// cICP has to come before PLTE and IDAT and outranks every other colour chunk: it goes straight behind IHDR.
fn insert_after_header(file: &mut Vec<u8>, name: [u8; 4], data: &[u8]) {
    const HEADER_END: usize = 8 + 4 + 4 + 13 + 4;
    let mut chunk = Vec::with_capacity(12 + data.len());
    chunk.extend((data.len() as u32).to_be_bytes());
    chunk.extend(name);
    chunk.extend(data);
    chunk.extend(crc32(&chunk[4..]).to_be_bytes());
    file.splice(HEADER_END..HEADER_END, chunk);
}

/// CRC of a chunk, ISO 3309 as in the PNG specification, annex D.
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0_u32, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| if c & 1 == 1 { 0xedb8_8320 ^ (c >> 1) } else { c >> 1 })
    })
}

/// A small ICC profile (version 4.3 matrix and curve, ICC.1:2010) of Display-P3: primaries adapted to D50 by
/// Bradford, curve of sRGB as parametric type 3.
fn display_p3_profile() -> Vec<u8> {
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
    for v in
        [1.047_882, 0.022_919, -0.050_217, 0.029_587, 0.990_479, -0.017_059, -0.009_232, 0.015_076, 0.751_679]
    {
        adaptation.extend(fixed(v));
    }
    // Columns of the matrix to D50, Bradford-adapted from the primaries; their sum is D50.
    let tags: [([u8; 4], Vec<u8>); 8] = [
        (*b"desc", text("Display P3")),
        (*b"cprt", text("No copyright, use freely")),
        (*b"wtpt", xyz([0.964_2, 1.0, 0.824_9])),
        (*b"rXYZ", xyz([0.515_121, 0.241_196, -0.001_053])),
        (*b"gXYZ", xyz([0.291_977, 0.692_245, 0.041_885])),
        (*b"bXYZ", xyz([0.157_104, 0.066_574, 0.784_073])),
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
    // A fixed date, so that one picture is one file.
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

/// Writes a PNG.
///
/// # Errors
/// As [`encode`], and whatever the writer says.
pub fn write(mut to: impl Write, rgba: &[u8], size: [u32; 2], gamut: Gamut) -> std::io::Result<()> {
    to.write_all(&encode(rgba, size, gamut).map_err(std::io::Error::other)?)
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
            assert_eq!(info.srgb.is_some(), gamut == Gamut::Srgb);
            assert_eq!(info.icc_profile.is_some(), gamut == Gamut::DisplayP3);
            let expected: Vec<u8> = rgba.as_chunks::<4>().0.iter().flat_map(|p| [p[0], p[1], p[2]]).collect();
            assert_eq!(pixels, expected);
        }
        assert!(matches!(
            encode(&rgba, [3, 3], Gamut::Srgb),
            Err(PngError::Size { expected: 36, found: 24, .. })
        ));
    }

    #[test]
    fn the_profile_is_well_formed_and_its_primaries_sum_to_d50() {
        let profile = display_p3_profile();
        let word = |at: usize| u32::from_be_bytes(profile[at..at + 4].try_into().unwrap());
        assert_eq!(word(0) as usize, profile.len());
        let count = word(128) as usize;
        let mut sum = [0.0; 3];
        for k in 0..count {
            let at = 132 + 12 * k;
            let (offset, length) = (word(at + 4) as usize, word(at + 8) as usize);
            assert!(offset + length <= profile.len() && offset % 4 == 0);
            if profile[at + 1..at + 4] == *b"XYZ" {
                for (i, s) in sum.iter_mut().enumerate() {
                    *s += f64::from(word(offset + 8 + 4 * i) as i32) / 65536.0;
                }
            }
        }
        for (s, d50) in sum.iter().zip([0.964_2, 1.0, 0.824_9]) {
            assert!((s - d50).abs() < 2e-4, "{sum:?}");
        }
    }
}
