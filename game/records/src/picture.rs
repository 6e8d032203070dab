//! Small pictures that stand within the page.

/// A picture of a few colours.
pub(crate) struct Picture {
    /// Dots from left to right.
    pub width: u32,
    /// The place of each dot's colour in the palette, row by row from the top.
    pub dots: Vec<u8>,
    /// Colours as style sheets write them: at most four.
    pub palette: [&'static str; 4],
}

impl Picture {
    /// The picture as an address that holds all of it; nothing for a picture
    /// without dots.
    pub fn address(&self) -> Option<String> {
        let png = self.png()?;
        Some(format!("data:image/png;base64,{}", base64(&png)))
    }

    /// As PNG, two bits to the dot.
    fn png(&self) -> Option<Vec<u8>> {
        let width = usize::try_from(self.width).ok().filter(|w| *w > 0)?;
        let height = u32::try_from(self.dots.len() / width).ok()?;
        let mut out = Vec::new();
        let mut encoder = png::Encoder::new(&mut out, self.width, height);
        encoder.set_color(png::ColorType::Indexed);
        encoder.set_depth(png::BitDepth::Two);
        encoder.set_compression(png::Compression::High);
        encoder.set_palette(self.palette.iter().flat_map(|c| rgb(c)).collect::<Vec<_>>());
        let mut packed = Vec::with_capacity(self.dots.len() / 4 + 1);
        for row in self.dots.chunks_exact(width) {
            for four in row.chunks(4) {
                let byte = four
                    .iter()
                    .zip([6, 4, 2, 0])
                    .fold(0, |byte, (dot, shift)| byte | (dot & 3) << shift);
                packed.push(byte);
            }
        }
        // A picture without rows is refused here.
        let mut writer = encoder.write_header().ok()?;
        writer.write_image_data(&packed).ok()?;
        writer.finish().ok()?;
        Some(out)
    }
}

/// Red, green and blue of `#rrggbb`; black for anything else.
fn rgb(colour: &str) -> [u8; 3] {
    let byte = |at: usize| {
        let digits = colour.get(at..at + 2);
        digits
            .and_then(|d| u8::from_str_radix(d, 16).ok())
            .unwrap_or(0)
    };
    [byte(1), byte(3), byte(5)]
}

/// Bytes as text (RFC 4648, section 4).
fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let byte = |n: usize| u32::from(three.get(n).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for n in 0..4 {
            if n <= three.len() {
                let digit = bits >> (18 - 6 * n) & 63;
                out.push(char::from(DIGITS[digit as usize]));
            } else {
                out.push('=');
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base64_is_that_of_the_published_examples() {
        // RFC 4648, section 10.
        for (bytes, text) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(bytes.as_bytes()), text);
        }
    }

    #[test]
    fn a_picture_comes_back_from_its_png_dot_by_dot() {
        let palette = ["#010203", "#fffefd", "#8c1f16", "#000000"];
        for width in [1, 3, 4, 5, 64] {
            let dots: Vec<u8> = (0..width * 7).map(|i| (i * i / 3 % 4) as u8).collect();
            let picture = Picture {
                width,
                dots: dots.clone(),
                palette,
            };
            let png = picture.png().unwrap();
            let mut decoder = png::Decoder::new(std::io::Cursor::new(&png));
            decoder.set_transformations(png::Transformations::EXPAND);
            let mut reader = decoder.read_info().unwrap();
            let mut rgb_of_all = vec![0; reader.output_buffer_size().unwrap()];
            let info = reader.next_frame(&mut rgb_of_all).unwrap();
            assert_eq!((info.width, info.height), (width, 7));
            let wanted: Vec<u8> = dots
                .iter()
                .flat_map(|d| rgb(palette[usize::from(*d)]))
                .collect();
            assert_eq!(rgb_of_all, wanted);
        }
    }

    #[test]
    fn a_picture_without_dots_is_none() {
        for width in [0, 5] {
            let picture = Picture {
                width,
                dots: Vec::new(),
                palette: [""; 4],
            };
            assert_eq!(picture.address(), None);
        }
    }
}
