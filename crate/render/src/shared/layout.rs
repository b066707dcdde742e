//! Structures that Rust writes and shaders read, each declared once.
//!
//! [`layout!`] declares a Rust structure and keeps a list of its [`Field`]s. The functions here turn that list into
//! WGSL, so the position of a field is stated nowhere else.

use glam::{Vec2, Vec3, Vec4};

/// A type with the same layout in Rust and in WGSL.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    F32,
    U32,
    Vec2,
    Vec3,
    Vec4,
}

impl Kind {
    /// Its name in WGSL.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::F32 => "f32",
            Self::U32 => "u32",
            Self::Vec2 => "vec2f",
            Self::Vec3 => "vec3f",
            Self::Vec4 => "vec4f",
        }
    }

    /// Number of four-byte components.
    const fn components(self) -> usize {
        match self {
            Self::F32 | Self::U32 => 1,
            Self::Vec2 => 2,
            Self::Vec3 => 3,
            Self::Vec4 => 4,
        }
    }

    /// Alignment in a uniform buffer, bytes. W3C, *WebGPU Shading Language*, section "Alignment and Size".
    const fn align(self) -> usize {
        match self {
            Self::F32 | Self::U32 => 4,
            Self::Vec2 => 8,
            Self::Vec3 | Self::Vec4 => 16,
        }
    }
}

/// A Rust type with its counterpart in WGSL.
pub(crate) trait Wgsl {
    const KIND: Kind;
}

macro_rules! wgsl {
    ($($rust:ty: $kind:ident,)*) => {
        $(impl Wgsl for $rust {
            const KIND: Kind = Kind::$kind;
        })*
    };
}

wgsl! {
    f32: F32,
    u32: U32,
    [f32; 2]: Vec2,
    Vec2: Vec2,
    Vec3: Vec3,
    Vec4: Vec4,
}

/// A field of a structure.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Field {
    pub(crate) name: &'static str,
    pub(crate) kind: Kind,
    /// Bytes from the start of the structure.
    pub(crate) offset: usize,
}

/// Bytes in a texel of four single-precision numbers.
pub(crate) const TEXEL_BYTES: usize = 16;

/// A structure declared by [`layout!`].
pub(crate) trait Layout: Sized {
    /// Its name in WGSL.
    const NAME: &'static str;
    const FIELDS: &'static [Field];
    /// Number of texels it occupies.
    const TEXELS: u32 = (size_of::<Self>() / TEXEL_BYTES) as u32;
}

/// Declares a structure for Rust, and its list of fields for WGSL. The fields are laid out in order, without gaps.
macro_rules! layout {
    ($(#[$doc:meta])* $vis:vis struct $name:ident { $($(#[$field_doc:meta])* $field_vis:vis $field:ident: $kind:ty,)* }) => {
        $(#[$doc])*
        #[repr(C)]
        #[derive(Clone, Copy, Debug, Default, PartialEq, bytemuck::Pod, bytemuck::Zeroable)]
        $vis struct $name { $($(#[$field_doc])* $field_vis $field: $kind,)* }

        impl $crate::shared::layout::Layout for $name {
            const NAME: &'static str = stringify!($name);
            const FIELDS: &'static [$crate::shared::layout::Field] = &[$($crate::shared::layout::Field {
                name: stringify!($field),
                kind: <$kind as $crate::shared::layout::Wgsl>::KIND,
                offset: std::mem::offset_of!($name, $field),
            },)*];
        }
    };
}
pub(crate) use layout;

/// Whether WGSL gives every field of a uniform, or of a record in texels, the same offset as Rust, and no field
/// crosses a texel boundary.
pub(crate) const fn agrees(fields: &[Field], size: usize) -> bool {
    let mut end = 0;
    let mut k = 0;
    while k < fields.len() {
        let Field { kind, offset, .. } = fields[k];
        if offset != end || !offset.is_multiple_of(kind.align()) {
            return false;
        }
        end = offset + 4 * kind.components();
        k += 1;
    }
    end == size && size.is_multiple_of(TEXEL_BYTES)
}

/// What is stated of a structure. The functions below take this and not the type itself, so that each is compiled once: for
/// every type it would be 18 kB of the page's module.
#[derive(Clone, Copy)]
struct Stated {
    name: &'static str,
    fields: &'static [Field],
    texels: u32,
}

const fn stated<T: Layout>() -> Stated {
    Stated { name: T::NAME, fields: T::FIELDS, texels: T::TEXELS }
}

impl Stated {
    fn structure(self) -> String {
        let field = |f: &Field| format!("    {}: {},\n", f.name, f.kind.name());
        self.braced(self.fields.iter().map(field).collect())
    }

    fn vertex(self) -> String {
        let field = |(k, f): (usize, &Field)| format!("    @location({k}) {}: {},\n", f.name, f.kind.name());
        self.braced(self.fields.iter().enumerate().map(field).collect())
    }

    fn braced(self, fields: String) -> String {
        format!("struct {} {{\n{fields}}}\n", self.name)
    }

    fn record(self) -> String {
        let lower = capitals(self.name).to_lowercase();
        let taken: Vec<String> = (0..self.texels).map(|k| format!("t{k}: vec4f")).collect();
        let given: Vec<String> = self.fields.iter().map(swizzle).collect();
        let (name, taken, given) = (self.name, taken.join(", "), given.join(", "));
        format!(
            "{}fn unpack_{lower}({taken}) -> {name} {{\n    return {name}({given});\n}}\n",
            self.structure()
        )
    }

    fn texels(self) -> String {
        format!("const {}_TEXELS: u32 = {}u;\n", capitals(self.name), self.texels)
    }

    fn texel_constants(self, fields: &[&str]) -> String {
        let upper = capitals(self.name);
        let named = self.fields.iter().filter(|f| fields.contains(&f.name));
        named
            .map(|f| format!("const {upper}_{}: u32 = {}u;\n", f.name.to_uppercase(), f.offset / TEXEL_BYTES))
            .collect()
    }

    fn reader(self, texture: &str) -> String {
        let lower = capitals(self.name).to_lowercase();
        let texel = |k| format!("        textureLoad({texture}, vec2u(at.x + {k}u, at.y), 0),\n");
        let texels: String = (0..self.texels).map(texel).collect();
        let name = self.name;
        format!("fn read_{lower}(at: vec2u) -> {name} {{\n    return unpack_{lower}(\n{texels}    );\n}}\n")
    }
}

/// The structure in WGSL.
pub(crate) fn structure<T: Layout>() -> String {
    stated::<T>().structure()
}

/// The structure as input of a vertex shader in WGSL, its fields at ascending locations.
pub(crate) fn vertex<T: Layout>() -> String {
    stated::<T>().vertex()
}

/// A record in texels: the structure, and a function that builds it from the texels.
pub(crate) fn record<T: Layout>() -> String {
    stated::<T>().record()
}

/// The number of texels of a record, as a constant: `FIELD_NODE_TEXELS`.
pub(crate) fn texels<T: Layout>() -> String {
    stated::<T>().texels()
}

/// The texels in which some of a record's fields lie, as constants: `FieldNode`'s `above` is `FIELD_NODE_ABOVE`.
pub(crate) fn texel_constants<T: Layout>(fields: &[&str]) -> String {
    stated::<T>().texel_constants(fields)
}

/// A function that reads a [`record`] from consecutive texels of a row of a texture.
pub(crate) fn reader<T: Layout>(texture: &str) -> String {
    stated::<T>().reader(texture)
}

/// Where a field lies among the texels `t0`, `t1`, …
fn swizzle(field: &Field) -> String {
    let first = field.offset % TEXEL_BYTES / 4;
    format!("t{}.{}", field.offset / TEXEL_BYTES, &"xyzw"[first..first + field.kind.components()])
}

/// `FieldNode` as `FIELD_NODE`.
fn capitals(name: &str) -> String {
    let mut out = String::new();
    for c in name.chars() {
        if c.is_uppercase() && !out.is_empty() {
            out.push('_');
        }
        out.extend(c.to_uppercase());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    layout! {
        struct TwoTexels {
            at: Vec2,
            size: f32,
            count: f32,
            colour: Vec3,
            share: f32,
        }
    }

    #[test]
    fn a_record_is_unpacked_as_rust_packs_it() {
        const { assert!(agrees(TwoTexels::FIELDS, size_of::<TwoTexels>())) };
        let text = record::<TwoTexels>();
        assert_eq!(texels::<TwoTexels>(), "const TWO_TEXELS_TEXELS: u32 = 2u;\n");
        assert_eq!(texel_constants::<TwoTexels>(&["share"]), "const TWO_TEXELS_SHARE: u32 = 1u;\n");
        assert!(text.contains("fn unpack_two_texels(t0: vec4f, t1: vec4f) -> TwoTexels {"), "{text}");
        assert!(text.contains("TwoTexels(t0.xy, t0.z, t0.w, t1.xyz, t1.w)"), "{text}");
        let packed = TwoTexels {
            at: Vec2::new(1.0, 2.0),
            size: 3.0,
            count: 4.0,
            colour: Vec3::new(5.0, 6.0, 7.0),
            share: 8.0,
        };
        let texels: [[f32; 4]; 2] = bytemuck::cast(packed);
        assert_eq!(texels, [[1.0, 2.0, 3.0, 4.0], [5.0, 6.0, 7.0, 8.0]]);
    }

    #[test]
    fn a_field_that_wgsl_would_move_is_refused() {
        let field = |kind, offset| Field { name: "f", kind, offset };
        assert!(agrees(&[field(Kind::F32, 0), field(Kind::F32, 4), field(Kind::Vec2, 8)], 16));
        assert!(!agrees(&[field(Kind::F32, 0), field(Kind::Vec2, 4), field(Kind::F32, 12)], 16));
        assert!(!agrees(&[field(Kind::F32, 0), field(Kind::Vec3, 4)], 16));
        assert!(!agrees(&[field(Kind::Vec3, 0)], 12));
    }
}
