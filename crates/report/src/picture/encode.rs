//! PNG.

/// A picture of red, green and blue bytes as a PNG file.
pub(super) fn png(width: usize, height: usize, pixels: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width as u32, height as u32);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Balanced);
    let mut writer = encoder.write_header().expect("a vector takes what is written");
    writer.write_image_data(pixels).expect("there are width times height pixels");
    writer.finish().expect("a vector takes what is written");
    bytes
}
