//! The records of pieces, responses and the world outside that shaders read, texel by texel.

use glam::{Vec2, Vec3, Vec4};

use crate::shared::layout::{Layout as _, agrees, layout};

layout! {
    /// A piece of glass, or an overlay on one.
    pub(crate) struct Piece {
        /// Index of its first node among all responses.
        pub(crate) first_node: f32,
        /// Nodes over paint: 1, or `CUBIC_NODES`.
        pub(crate) paint_nodes: f32,
        /// Thickness factor at the first node, and nodes per unit of it.
        pub(crate) first_thickness: f32,
        pub(crate) nodes_per_thickness: f32,
        /// Thickness relative to the make-up's.
        pub(crate) thickness: f32,
        /// Density of paint relative to the make-up's.
        pub(crate) paint: f32,
        /// Transmittance of paint, 10^(−density), at the first node, and nodes per unit of it.
        pub(crate) first_paint: f32,
        pub(crate) nodes_per_paint: f32,
        /// Largest deviation of thickness over the sheet, as a share.
        pub(crate) thickness_amplitude: f32,
        /// How uneven the stipple is, 0 to 1.
        pub(crate) paint_amplitude: f32,
        /// Unit vector along the blowing axis.
        pub(crate) axis: Vec2,
        /// Where the panel's origin lies on the sheet, mm.
        pub(crate) origin_mm: Vec2,
        /// How far the gradient of the thickness turns the view.
        pub(crate) bend: f32,
        /// Seed of the sheet's noise; a whole number.
        pub(crate) seed: f32,
        /// Cosine of the angle inside the glass at the piece's middle.
        pub(crate) inner_cosine: f32,
        /// One over the square of the refractive index.
        pub(crate) inverse_n_squared: f32,
        /// Share of the sun's light scattered slightly aside.
        pub(crate) glare: f32,
        /// Halvings of the light for a paint factor of 1.
        pub(crate) halvings: f32,
        /// Nodes over the mix: 1, or more than `CUBIC_NODES` and one more for an even sheet.
        pub(crate) mix_nodes: f32,
        /// How far the mix goes to its extremes, 0 to 1.
        pub(crate) mix_amplitude: f32,
        /// Offsets that keep the piece's means, subtracted from the mix, the thickness and the gathering of light.
        pub(crate) mix_shift: f32,
        pub(crate) thickness_shift: f32,
        /// How much reams and fine lines lighten and darken.
        pub(crate) sheen: f32,
        /// Size of the cells that may hold a seed, mm, and the share of cells that do.
        pub(crate) seed_cell_mm: f32,
        pub(crate) seed_share: f32,
        pub(crate) gain_shift: f32,
        /// Rolled texture: how far it turns light, radians; its cells per mm; how much it lightens and darkens.
        pub(crate) ripple_rad: f32,
        pub(crate) ripple_per_mm: f32,
        pub(crate) ripple_sheen: f32,
        /// How far the glass blurs the view behind it, radians.
        pub(crate) haze_rad: f32,
        /// Middle of the piece, panel mm, and one over the radius of a disc of its area.
        pub(crate) middle_mm: Vec2,
        pub(crate) per_radius: f32,
        /// 1 if the mix goes from the middle to the rim.
        pub(crate) etched: f32,
        /// Fading paint: one over its length, mm (0 for even paint), and its scale.
        pub(crate) fade_per_mm: f32,
        pub(crate) fade_scale: f32,
        /// For an overlay: width of the transition along its edges and how far they stray, mm. 0 for a piece
        /// itself.
        pub(crate) softness_mm: f32,
        pub(crate) ragged_mm: f32,
        /// Light that it scatters forward: index of its first node among all of those, counted from the first
        /// texel of the responses, 0 if it has none; the first column of its width in the field; the factor
        /// of the square in the exponent of its bell.
        pub(crate) first_forward: f32,
        pub(crate) forward_column: f32,
        pub(crate) bell: f32,
        pub(crate) unused: f32,
    }
}

layout! {
    /// The response of one node of a piece to every spectrum of the instant, in signed linear RGB.
    pub(crate) struct Response {
        /// To the first four sky spectra, by channel.
        pub(crate) red: Vec4,
        pub(crate) green: Vec4,
        pub(crate) blue: Vec4,
        /// To the ground; and red of the fifth sky spectrum.
        pub(crate) ground: Vec3,
        pub(crate) fifth_red: f32,
        /// To the sun's disc; and green of the fifth.
        pub(crate) disc: Vec3,
        pub(crate) fifth_green: f32,
        /// To scattered light; and blue of the fifth.
        pub(crate) glow: Vec3,
        pub(crate) fifth_blue: f32,
    }
}

layout! {
    /// What one node of a piece scatters forward, by channel: of the three spectra of blurred light, and of the sun.
    pub(crate) struct Forward {
        pub(crate) red: Vec4,
        pub(crate) green: Vec4,
        pub(crate) blue: Vec4,
    }
}

layout! {
    /// A node of the grid of light that pieces scatter forward, for one width.
    pub(crate) struct FieldForward {
        /// Of the three spectra of blurred light.
        pub(crate) weights: Vec3,
        /// Share of the sun's light that reaches the glass here.
        pub(crate) sunlit: f32,
    }
}

layout! {
    /// A node of the direction field: weights of the sky's spectra for its layers.
    pub(crate) struct FieldNode {
        /// The weights of the first four above the upper edge.
        pub(crate) above: Vec4,
        /// Between the edges.
        pub(crate) between: Vec4,
        /// Below the lower one.
        pub(crate) below: Vec4,
        /// The fifth spectrum's weight in each layer.
        pub(crate) fifths: Vec3,
        pub(crate) unused: f32,
    }
}

layout! {
    /// The values for a bearing; each texel has its own row of the texture.
    pub(crate) struct FieldBearing {
        /// Tangents of the altitudes of the upper and the lower edge.
        pub(crate) edges: Vec2,
        /// Fractional index of its column in the field.
        pub(crate) column: f32,
        /// The nearest place where everything changes at once, as a fractional index of bearings; negative if none.
        pub(crate) jump: f32,
        /// How much higher the outlines run than the edges, tangents.
        pub(crate) detail: Vec2,
        /// Share of gaps in the leaves between the edges; negative if they are below the lower edge.
        pub(crate) leaves: f32,
        pub(crate) unused: f32,
    }
}

layout! {
    /// A node of the grid of what the wall hides: the stone seen there, and how far its edge is.
    pub(crate) struct FieldStone {
        /// Light of the stone: weights of the first four sky spectra,
        pub(crate) sky: Vec4,
        /// of the fifth one, of the ground and of the sun's disc.
        pub(crate) fifth: f32,
        pub(crate) ground: f32,
        pub(crate) disc: f32,
        /// Distance to the edge between stone and outside, mm on the panel; negative where stone is seen.
        pub(crate) distance: f32,
        pub(crate) unused: Vec3,
        /// Share of the light from outside that bars and mesh let by.
        pub(crate) openness: f32,
    }
}

layout! {
    /// A node of the net over the sides of the inner reveal: the light that it sends, linear RGB.
    pub(crate) struct FieldInner {
        /// Of the light through the glass, cd/m².
        pub(crate) light: Vec3,
        pub(crate) unused: f32,
        /// Of the room's light, as a share of what a white surface that faces the window sends.
        pub(crate) room: Vec3,
        pub(crate) unused_too: f32,
    }
}

const _: () = {
    assert!(agrees(FieldInner::FIELDS, size_of::<FieldInner>()));
    assert!(agrees(Forward::FIELDS, size_of::<Forward>()));
    assert!(agrees(FieldForward::FIELDS, size_of::<FieldForward>()));
    assert!(agrees(FieldStone::FIELDS, size_of::<FieldStone>()));
    assert!(agrees(Piece::FIELDS, size_of::<Piece>()));
    assert!(agrees(Response::FIELDS, size_of::<Response>()));
    assert!(agrees(FieldNode::FIELDS, size_of::<FieldNode>()));
    assert!(agrees(FieldBearing::FIELDS, size_of::<FieldBearing>()));
};
