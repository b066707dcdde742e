//! Points of a plane.

use std::marker::PhantomData;
use std::ops::Index;

use bytemuck::TransparentWrapper;
use glam::DVec2;

use crate::frame::{PanelMm, WallM};

/// A point of the plane that the frame `F` names, in its unit.
#[derive(Clone, Copy, Debug, PartialEq, TransparentWrapper)]
#[repr(transparent)]
#[transparent(DVec2)]
pub struct Point2<F> {
    at: DVec2,
    frame: PhantomData<F>,
}

/// A point of the panel plane, mm.
pub type PanelPoint = Point2<PanelMm>;
/// A point of the window wall, m.
pub type WallPoint = Point2<WallM>;

impl<F> Point2<F> {
    /// From x and y.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { at: DVec2::new(x, y), frame: PhantomData }
    }

    /// x, to the right.
    pub const fn x(self) -> f64
    where
        F: Copy,
    {
        self.at.x
    }

    /// y, up.
    pub const fn y(self) -> f64
    where
        F: Copy,
    {
        self.at.y
    }

    /// x and y.
    pub const fn to_array(self) -> [f64; 2]
    where
        F: Copy,
    {
        self.at.to_array()
    }

    /// As glam's vector, without its frame.
    pub const fn vector(self) -> DVec2
    where
        F: Copy,
    {
        self.at
    }

    /// Arrays of x and y read as points of this frame, without a copy.
    pub fn slice(arrays: &[[f64; 2]]) -> &[Self] {
        Self::wrap_slice(bytemuck::cast_slice(arrays))
    }

    /// Points read as arrays of x and y, without a copy.
    pub fn arrays(points: &[Self]) -> &[[f64; 2]] {
        bytemuck::cast_slice(Self::peel_slice(points))
    }
}

impl<F> From<DVec2> for Point2<F> {
    fn from(at: DVec2) -> Self {
        Self { at, frame: PhantomData }
    }
}

impl<F> From<[f64; 2]> for Point2<F> {
    fn from([x, y]: [f64; 2]) -> Self {
        Self::new(x, y)
    }
}

/// By axis: 0 x, 1 y.
impl<F> Index<usize> for Point2<F> {
    type Output = f64;
    fn index(&self, axis: usize) -> &f64 {
        &self.at[axis]
    }
}
