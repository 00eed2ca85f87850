//! The picture of a plan below the drawing: read on a thread of its own, laid on the plan to scale.

mod orientation;

use std::{
    io::Cursor,
    path::{Path, PathBuf},
};

use egui::{Color32, ColorImage, Mesh, Shape, TextureHandle, TextureOptions, pos2};
use zune_jpeg::{
    JpegDecoder,
    zune_core::{colorspace::ColorSpace, options::DecoderOptions},
};

use super::{latest::Latest, paint::Pen};
use crate::{
    base::{Progress, Pt},
    site::{Place, Underlay},
};

/// Largest file that is read, bytes.
const MOST_BYTES: u64 = 80_000_000;
/// Largest picture that is unpacked, pixels.
const MOST_PIXELS: usize = 60_000_000;
/// Longer sides are brought down to this: sharp enough to draw over, and small for any graphics card.
const MOST_SIDE: usize = 2_048;

/// Reads pictures and keeps the last one.
pub struct UnderlayPicture {
    latest: Latest<PathBuf, Result<ColorImage, String>>,
    asked: Option<PathBuf>,
    shown: Option<Result<TextureHandle, String>>,
}

impl Default for UnderlayPicture {
    fn default() -> Self {
        Self {
            latest: Latest::new("picture of a plan", work),
            asked: None,
            shown: None,
        }
    }
}

fn work(path: PathBuf, _: &Progress) -> Option<Result<ColorImage, String>> {
    Some(read(&path))
}

impl UnderlayPicture {
    /// Asks for the picture where it is another than before.
    pub fn look(&mut self, ctx: &egui::Context, underlay: &Underlay, folder: Option<&Path>) {
        let path = folder.map_or_else(|| PathBuf::from(&underlay.file), |f| f.join(&underlay.file));
        if self.asked.as_ref() != Some(&path) {
            self.asked = Some(path.clone());
            self.shown = None;
            self.latest.ask(ctx, path);
        }
        if let Some(answer) = self.latest.take() {
            self.shown =
                Some(answer.map(|image| {
                    ctx.load_texture("picture of a plan", image, TextureOptions::LINEAR)
                }));
        }
    }

    /// Reads the file once more, where it has been put right meanwhile.
    pub fn read_again(&mut self) {
        self.asked = None;
    }

    /// Why there is nothing to be seen.
    #[must_use]
    pub fn fault(&self) -> Option<&str> {
        self.shown.as_ref()?.as_ref().err().map(String::as_str)
    }

    #[must_use]
    pub fn is_awaited(&self) -> bool {
        self.asked.is_some() && self.shown.is_none()
    }

    pub fn paint(&self, pen: &Pen<'_>, underlay: &Underlay) {
        let Some(Ok(texture)) = &self.shown else {
            return;
        };
        let [w, h] = texture.size();
        let corners = corners(underlay, h as f64 / (w as f64).max(1.0));
        let tint = Color32::WHITE.gamma_multiply(underlay.strength.clamp(0.0, 1.0) as f32);
        let mut mesh = Mesh::with_texture(texture.id());
        for (p, uv) in corners.into_iter().zip([
            pos2(0.0, 0.0),
            pos2(1.0, 0.0),
            pos2(1.0, 1.0),
            pos2(0.0, 1.0),
        ]) {
            mesh.vertices.push(egui::epaint::Vertex {
                pos: pen.on.screen(p),
                uv,
                color: tint,
            });
        }
        mesh.add_triangle(0, 1, 2);
        mesh.add_triangle(0, 2, 3);
        pen.painter.add(Shape::mesh(mesh));
    }
}

/// A vector turned clockwise.
fn turned(d: Pt, deg: f64) -> Pt {
    let (sin, cos) = deg.to_radians().sin_cos();
    Pt(d.x() * cos + d.y() * sin, d.y() * cos - d.x() * sin)
}

/// Corners on the plan from the upper left clockwise; `tall` is height by width.
fn corners(u: &Underlay, tall: f64) -> [Pt; 4] {
    let (x, y) = (u.width_m * 0.5, u.width_m * tall * 0.5);
    [(-x, y), (x, y), (x, -y), (-x, -y)].map(|(dx, dy)| u.at + turned(Pt(dx, dy), u.turned_deg))
}

/// Brought to the scale at which two points of it are `true_m` apart; the first stays where it is. `None` where they are
/// too close to one another to tell.
#[must_use]
pub fn scaled(u: &Underlay, (a, b): (Pt, Pt), true_m: f64) -> Option<Underlay> {
    let factor = true_m / a.distance(b);
    let width_m = u.width_m * factor;
    (factor.is_finite() && (0.01..=10_000.0).contains(&width_m)).then(|| Underlay {
        at: a + (u.at - a) * factor,
        width_m,
        ..u.clone()
    })
}

/// Turned about the first point so that the way from it to the second points north.
#[must_use]
pub fn to_north(u: &Underlay, (a, b): (Pt, Pt), place: &Place) -> Underlay {
    let d = b - a;
    let by_deg = -place.plan_north_deg - d.x().atan2(d.y()).to_degrees();
    let whole = (u.turned_deg + by_deg + 180.0).rem_euclid(360.0) - 180.0;
    Underlay {
        at: a + turned(u.at - a, by_deg),
        turned_deg: (whole * 1e3).round() / 1e3,
        ..u.clone()
    }
}

fn read(path: &Path) -> Result<ColorImage, String> {
    let said = |e: std::io::Error| format!("{} cannot be read: {e}", path.display());
    let length = std::fs::metadata(path).map_err(said)?.len();
    if length > MOST_BYTES {
        return Err(format!(
            "{} has {length} bytes; at most {MOST_BYTES} are read",
            path.display()
        ));
    }
    unpacked(&std::fs::read(path).map_err(said)?)
        .map_err(|why| format!("{}: {why}", path.display()))
}

/// A PNG or JPEG, told by its first bytes, made small enough for the screen.
fn unpacked(bytes: &[u8]) -> Result<ColorImage, String> {
    let (image, orientation) = if bytes.starts_with(b"\x89PNG") {
        (png(bytes)?, 1)
    } else if bytes.starts_with(&[0xFF, 0xD8]) {
        jpeg(bytes)?
    } else {
        return Err("this is neither a PNG nor a JPEG picture".to_owned());
    };
    Ok(orientation::upright(small(&image), orientation))
}

fn png(bytes: &[u8]) -> Result<ColorImage, String> {
    let said = |e: png::DecodingError| format!("this PNG cannot be read: {e}");
    let mut decoder = png::Decoder::new(Cursor::new(bytes));
    decoder.set_transformations(png::Transformations::normalize_to_color8());
    let mut reader = decoder.read_info().map_err(said)?;
    let (w, h) = (reader.info().width as usize, reader.info().height as usize);
    within_bounds(w, h)?;
    let mut buffer = vec![0; reader.output_buffer_size().unwrap_or(0)];
    let frame = reader.next_frame(&mut buffer).map_err(said)?;
    let per = match frame.color_type {
        png::ColorType::Grayscale => 1,
        png::ColorType::GrayscaleAlpha => 2,
        png::ColorType::Rgb | png::ColorType::Indexed => 3,
        png::ColorType::Rgba => 4,
    };
    picture(w, h, per, &buffer)
}

/// With the way up that the camera wrote beside it.
fn jpeg(bytes: &[u8]) -> Result<(ColorImage, u16), String> {
    let said = |e: zune_jpeg::errors::DecodeErrors| format!("this JPEG cannot be read: {e}");
    let options = DecoderOptions::default().jpeg_set_out_colorspace(ColorSpace::RGB);
    let mut decoder = JpegDecoder::new_with_options(Cursor::new(bytes), options);
    decoder.decode_headers().map_err(said)?;
    let info = decoder.info().ok_or("this JPEG says no size")?;
    let (w, h) = (usize::from(info.width), usize::from(info.height));
    within_bounds(w, h)?;
    let buffer = decoder.decode().map_err(said)?;
    // A grey picture stays grey.
    let image = picture(w, h, if buffer.len() < w * h * 3 { 1 } else { 3 }, &buffer)?;
    let exif = decoder.exif().map_or(&[][..], Vec::as_slice);
    Ok((image, orientation::of_exif(exif)))
}

fn within_bounds(w: usize, h: usize) -> Result<(), String> {
    if w == 0 || h == 0 || w.saturating_mul(h) > MOST_PIXELS {
        return Err(format!(
            "{w} by {h} pixels cannot be shown; make the picture smaller"
        ));
    }
    Ok(())
}

fn picture(w: usize, h: usize, per: usize, bytes: &[u8]) -> Result<ColorImage, String> {
    let pixels: Vec<Color32> = bytes
        .chunks_exact(per)
        .take(w * h)
        .map(|c| match *c {
            [v] => Color32::from_gray(v),
            [v, a] => Color32::from_rgba_unmultiplied(v, v, v, a),
            [r, g, b] => Color32::from_rgb(r, g, b),
            [r, g, b, a] => Color32::from_rgba_unmultiplied(r, g, b, a),
            _ => Color32::TRANSPARENT,
        })
        .collect();
    if pixels.len() < w * h {
        return Err("the picture ends too soon".to_owned());
    }
    Ok(ColorImage::new([w, h], pixels))
}

/// Means of square blocks, so that thin lines of a scan stay visible.
fn small(image: &ColorImage) -> ColorImage {
    let [w, h] = image.size;
    let k = w.max(h).div_ceil(MOST_SIDE).max(1);
    if k == 1 {
        return image.clone();
    }
    let (nw, nh) = ((w / k).max(1), (h / k).max(1));
    let mut pixels = Vec::with_capacity(nw * nh);
    for y in 0..nh {
        for x in 0..nw {
            let (mut sum, mut n) = ([0_u32; 4], 0_u32);
            for dy in 0..k {
                let row = (y * k + dy) * w + x * k;
                let end = (y * k + dy + 1) * w;
                for p in image
                    .pixels
                    .get(row..(row + k).min(end))
                    .into_iter()
                    .flatten()
                {
                    n += 1;
                    for (s, v) in sum.iter_mut().zip(p.to_array()) {
                        *s += u32::from(v);
                    }
                }
            }
            let [r, g, b, a] = sum.map(|s| (s / n.max(1)) as u8);
            pixels.push(Color32::from_rgba_premultiplied(r, g, b, a));
        }
    }
    ColorImage::new([nw, nh], pixels)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 16 by 8 pixels, white and red halves, written by Pillow 13.0.
    const JPEG: &[u8] = &[
        255, 216, 255, 224, 0, 16, 74, 70, 73, 70, 0, 1, 1, 0, 0, 1, 0, 1, 0, 0, 255, 219, 0, 67,
        0, 3, 2, 2, 3, 2, 2, 3, 3, 3, 3, 4, 3, 3, 4, 5, 8, 5, 5, 4, 4, 5, 10, 7, 7, 6, 8, 12, 10,
        12, 12, 11, 10, 11, 11, 13, 14, 18, 16, 13, 14, 17, 14, 11, 11, 16, 22, 16, 17, 19, 20, 21,
        21, 21, 12, 15, 23, 24, 22, 20, 24, 18, 20, 21, 20, 255, 219, 0, 67, 1, 3, 4, 4, 5, 4, 5,
        9, 5, 5, 9, 20, 13, 11, 13, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20,
        20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20,
        20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 255, 192, 0, 17, 8, 0, 8, 0, 16, 3, 1, 34, 0,
        2, 17, 1, 3, 17, 1, 255, 196, 0, 21, 0, 1, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0,
        9, 255, 196, 0, 20, 16, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 255, 196, 0, 21,
        1, 1, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 6, 7, 255, 196, 0, 28, 17, 0, 1, 3, 5,
        0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 5, 7, 67, 68, 129, 131, 193, 194, 255, 218, 0, 12,
        3, 1, 0, 2, 17, 3, 17, 0, 63, 0, 170, 104, 94, 3, 11, 81, 223, 69, 197, 178, 172, 199, 217,
        255, 217,
    ];

    fn near(a: Pt, b: Pt) -> bool {
        a.distance(b) < 1e-9
    }

    #[test]
    fn a_png_is_read_in_every_colour_type_and_made_small() {
        for (colour, per) in [
            (png::ColorType::Grayscale, 1),
            (png::ColorType::Rgb, 3),
            (png::ColorType::Rgba, 4),
        ] {
            let mut bytes = Vec::new();
            let mut encoder = png::Encoder::new(&mut bytes, 4_200, 3);
            encoder.set_color(colour);
            let mut writer = encoder.write_header().unwrap();
            writer
                .write_image_data(&vec![255; 4_200 * 3 * per])
                .unwrap();
            writer.finish().unwrap();
            let image = unpacked(&bytes).unwrap();
            // Three by three pixels became one.
            assert_eq!((image.size, image.pixels[0]), ([1_400, 1], Color32::WHITE));
            let mut bytes = Vec::new();
            let mut encoder = png::Encoder::new(&mut bytes, 2, 1);
            encoder.set_color(colour);
            let mut writer = encoder.write_header().unwrap();
            let mut data = vec![255; per];
            data.extend(vec![0; per - 1]);
            data.push(if per == 4 { 255 } else { 0 });
            writer.write_image_data(&data).unwrap();
            writer.finish().unwrap();
            let image = unpacked(&bytes).unwrap();
            assert_eq!(image.pixels, [Color32::WHITE, Color32::BLACK]);
        }
    }

    #[test]
    fn a_jpeg_is_read() {
        let image = unpacked(JPEG).unwrap();
        assert_eq!(image.size, [16, 8]);
        let (first, last) = (image.pixels[0], image.pixels[127]);
        assert!(first.r() > 245 && first.g() > 245, "{first:?}");
        assert!(last.r() > 180 && last.g() < 60, "{last:?}");
    }

    #[test]
    fn a_photograph_stands_the_way_up_that_its_camera_wrote() {
        // An Exif block of one tag behind the first mark: quarter of a turn clockwise.
        let mut turned = JPEG[..2].to_vec();
        turned.extend([0xFF, 0xE1, 0, 34]);
        turned.extend(b"Exif\0\0MM\0*\0\0\0\x08\0\x01");
        turned.extend([1, 18, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0, 0, 0, 0, 0]);
        turned.extend(&JPEG[2..]);
        let image = unpacked(&turned).unwrap();
        assert_eq!(image.size, [8, 16]);
        // White was at the left, so it is above.
        let (first, last) = (image.pixels[0], image.pixels[127]);
        assert!(first.g() > 245 && last.g() < 60, "{first:?} {last:?}");
    }

    #[test]
    fn what_is_no_picture_is_said() {
        assert!(unpacked(b"BM..").unwrap_err().contains("neither"));
        assert!(
            unpacked(b"\x89PNG\r\n\x1a\nxx")
                .unwrap_err()
                .contains("PNG")
        );
        assert!(unpacked(&JPEG[..40]).unwrap_err().contains("JPEG"));
        assert!(
            read(Path::new("no-such-picture.png"))
                .unwrap_err()
                .contains("cannot be read")
        );
    }

    #[test]
    fn two_points_give_the_scale_and_the_first_stays() {
        let u = Underlay {
            at: Pt(2.0, 2.0),
            width_m: 10.0,
            ..Underlay::default()
        };
        let scaled = scaled(&u, (Pt(0.0, 0.0), Pt(4.0, 0.0)), 8.0).unwrap();
        assert!(near(scaled.at, Pt(4.0, 4.0)));
        assert_eq!(scaled.width_m, 20.0);
        let same = Pt(1.0, 1.0);
        assert_eq!(super::scaled(&u, (same, same), 3.0), None);
    }

    #[test]
    fn a_line_on_the_picture_comes_to_point_north() {
        let u = Underlay::default();
        let place = Place {
            plan_north_deg: 30.0,
            ..Place::default()
        };
        // Its north points to the right of the plan.
        let (a, b) = (Pt(0.0, 0.0), Pt(5.0, 0.0));
        let turned = to_north(&u, (a, b), &place);
        assert_eq!(turned.turned_deg, -120.0);
        // True north is 30 degrees to the left of plan-up.
        let [left, right, ..] = corners(&turned, 0.5);
        let along = (right - left).unit();
        let north = Pt::towards((-30.0_f64).to_radians());
        assert!(near(along, north), "{along:?}");
    }
}
