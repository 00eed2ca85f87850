//! Which way up a photograph is to be seen. Cameras store pixels as the sensor has them and write beside them, in the tag
//! Orientation (274 of TIFF 6.0 and of Exif), which side is up.

use egui::{Color32, ColorImage};

/// Number of the tag, and of the type of two bytes that its value has.
const TAG: u16 = 274;
const SHORT: u16 = 3;
/// Bytes of an entry of the list of tags.
const ENTRY: usize = 12;

/// The value of the tag, 1 to 8; 1, as stored, where there is none or the block makes no sense. `exif` begins with the
/// mark of the byte order.
#[must_use]
pub fn of_exif(exif: &[u8]) -> u16 {
    read(exif).filter(|v| (1..=8).contains(v)).unwrap_or(1)
}

fn read(exif: &[u8]) -> Option<u16> {
    let little = match exif.get(..4)? {
        b"II*\0" => true,
        b"MM\0*" => false,
        _ => return None,
    };
    let two = |at: usize| -> Option<u16> {
        let bytes = exif.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(if little {
            u16::from_le_bytes(bytes)
        } else {
            u16::from_be_bytes(bytes)
        })
    };
    let four = |at: usize| -> Option<u32> {
        let bytes = exif.get(at..at.checked_add(4)?)?.try_into().ok()?;
        Some(if little {
            u32::from_le_bytes(bytes)
        } else {
            u32::from_be_bytes(bytes)
        })
    };
    let list = usize::try_from(four(4)?).ok()?;
    let count = usize::from(two(list)?);
    let entries = (0..count).map_while(|i| list.checked_add(2 + i * ENTRY));
    for at in entries {
        if two(at)? == TAG && two(at + 2)? == SHORT {
            return two(at + 8);
        }
    }
    None
}

/// The picture as it is to be seen.
#[must_use]
pub fn upright(image: ColorImage, orientation: u16) -> ColorImage {
    let [w, h] = image.size;
    // From a place in the upright picture to the one stored.
    let stored: fn(usize, usize, usize, usize) -> (usize, usize) = match orientation {
        2 => |x, y, w, _| (w - 1 - x, y),
        3 => |x, y, w, h| (w - 1 - x, h - 1 - y),
        4 => |x, y, _, h| (x, h - 1 - y),
        5 => |x, y, _, _| (y, x),
        6 => |x, y, _, h| (y, h - 1 - x),
        7 => |x, y, w, h| (w - 1 - y, h - 1 - x),
        8 => |x, y, w, _| (w - 1 - y, x),
        _ => return image,
    };
    let size = if orientation >= 5 { [h, w] } else { [w, h] };
    let pixels: Vec<Color32> = (0..size[1])
        .flat_map(|y| (0..size[0]).map(move |x| (x, y)))
        .map(|(x, y)| {
            let (x, y) = stored(x, y, w, h);
            image.pixels.get(y * w + x).copied().unwrap_or_default()
        })
        .collect();
    ColorImage::new(size, pixels)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exif(little: bool, orientation: u16) -> Vec<u8> {
        let two = |v: u16| {
            if little {
                v.to_le_bytes()
            } else {
                v.to_be_bytes()
            }
        };
        let four = |v: u32| {
            if little {
                v.to_le_bytes()
            } else {
                v.to_be_bytes()
            }
        };
        let mut bytes = if little { b"II*\0" } else { b"MM\0*" }.to_vec();
        bytes.extend(four(8));
        bytes.extend(two(2));
        for (tag, value) in [(271, 7), (TAG, orientation)] {
            bytes.extend(two(tag));
            bytes.extend(two(SHORT));
            bytes.extend(four(1));
            bytes.extend(two(value));
            bytes.extend([0, 0]);
        }
        bytes.extend(four(0));
        bytes
    }

    #[test]
    fn the_tag_is_read_in_both_byte_orders() {
        for little in [true, false] {
            for value in 1..=8 {
                assert_eq!(of_exif(&exif(little, value)), value);
            }
            assert_eq!(of_exif(&exif(little, 0)), 1);
            assert_eq!(of_exif(&exif(little, 900)), 1);
            // Cut off anywhere, or pointing out of the block.
            let whole = exif(little, 6);
            for end in 0..30 {
                assert_eq!(of_exif(&whole[..end]), 1, "{end}");
            }
            let mut lost = whole;
            lost[4..8].fill(0xFF);
            assert_eq!(of_exif(&lost), 1);
        }
    }

    /// TIFF 6.0, tag 274: where the first stored row and the first stored column are seen.
    #[test]
    fn first_row_and_column_come_where_the_standard_says() {
        let of = |v: u8| Color32::from_gray(v);
        // Stored: 0 1 2 over 3 4 5.
        let image = || ColorImage::new([3, 2], (0..6).map(of).collect());
        for (orientation, size, seen) in [
            (1, [3, 2], [0, 1, 2, 3, 4, 5]),
            (2, [3, 2], [2, 1, 0, 5, 4, 3]),
            (3, [3, 2], [5, 4, 3, 2, 1, 0]),
            (4, [3, 2], [3, 4, 5, 0, 1, 2]),
            (5, [2, 3], [0, 3, 1, 4, 2, 5]),
            (6, [2, 3], [3, 0, 4, 1, 5, 2]),
            (7, [2, 3], [5, 2, 4, 1, 3, 0]),
            (8, [2, 3], [2, 5, 1, 4, 0, 3]),
        ] {
            let found = upright(image(), orientation);
            assert_eq!(found.size, size, "{orientation}");
            assert_eq!(found.pixels, seen.map(of), "{orientation}");
        }
    }
}
