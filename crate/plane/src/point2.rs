//! Points and vectors of a plane.

use std::fmt;
use std::marker::PhantomData;
use std::ops::{Add, Index, Mul, Neg, Sub};

use bytemuck::TransparentWrapper;
use glam::DVec2;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::frame::{PageMm, PanelMm, SheetMm, WallM};

/// A point of the plane that the frame `F` names, in its unit. In JSON it is the array of x and y.
#[derive(Clone, Copy, PartialEq, TransparentWrapper)]
#[repr(transparent)]
#[transparent(DVec2)]
pub struct Point2<F> {
    at: DVec2,
    frame: PhantomData<F>,
}

/// A step or a direction along the axes of the frame `F`; a unit vector where a function says so.
#[derive(Clone, Copy, PartialEq)]
pub struct Vector2<F> {
    along: DVec2,
    frame: PhantomData<F>,
}

/// A point of the panel plane, mm.
pub type PanelPoint = Point2<PanelMm>;
/// A step (mm) or a direction in the panel plane.
pub type PanelVector = Vector2<PanelMm>;
/// A point of the panel plane as a page has it, mm from the left and from the top.
pub type PagePoint = Point2<PageMm>;
/// A point of a sheet of glass, mm.
pub type SheetPoint = Point2<SheetMm>;
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

    /// y: up, but down in the frame of a page ([`PageMm`]).
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

    /// x and y to the bit: a key for a place.
    pub const fn bits(self) -> [u64; 2]
    where
        F: Copy,
    {
        [self.at.x.to_bits(), self.at.y.to_bits()]
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

impl<F> Vector2<F> {
    /// From its parts along x and y.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { along: DVec2::new(x, y), frame: PhantomData }
    }

    /// The parts along x and y.
    pub const fn to_array(self) -> [f64; 2]
    where
        F: Copy,
    {
        self.along.to_array()
    }

    /// As glam has it, without its frame.
    pub const fn vector(self) -> DVec2
    where
        F: Copy,
    {
        self.along
    }

    /// Scalar product.
    pub fn dot(self, other: Self) -> f64 {
        self.along.dot(other.along)
    }

    /// Vector product: positive where `other` lies on the side of this vector towards which x turns to y. That is its
    /// left where y runs up, and its right on a page ([`PageMm`]), where y runs down.
    pub fn cross(self, other: Self) -> f64 {
        self.along.perp_dot(other.along)
    }

    /// Length.
    pub fn length(self) -> f64 {
        self.along.x.hypot(self.along.y)
    }

    /// Turned by a right angle from x towards y: to the left where y runs up, to the right on a page ([`PageMm`]).
    pub fn left(self) -> Self {
        Self::from(self.along.perp())
    }
}

/// The origin.
impl<F> Default for Point2<F> {
    fn default() -> Self {
        Self::new(0.0, 0.0)
    }
}

/// Nowhere.
impl<F> Default for Vector2<F> {
    fn default() -> Self {
        Self::new(0.0, 0.0)
    }
}

impl<F> fmt::Debug for Point2<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.at.to_array().fmt(f)
    }
}

impl<F> fmt::Debug for Vector2<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.along.to_array().fmt(f)
    }
}

impl<F> Serialize for Point2<F> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.at.to_array().serialize(serializer)
    }
}

impl<'de, F> Deserialize<'de> for Point2<F> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        <[f64; 2]>::deserialize(deserializer).map(Self::from)
    }
}

impl<F> From<DVec2> for Vector2<F> {
    fn from(along: DVec2) -> Self {
        Self { along, frame: PhantomData }
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

/// By axis: 0 x, 1 y.
impl<F> Index<usize> for Vector2<F> {
    type Output = f64;
    fn index(&self, axis: usize) -> &f64 {
        &self.along[axis]
    }
}

impl<F> Sub for Point2<F> {
    type Output = Vector2<F>;
    fn sub(self, other: Self) -> Vector2<F> {
        Vector2::from(self.at - other.at)
    }
}

impl<F> Add<Vector2<F>> for Point2<F> {
    type Output = Self;
    fn add(self, step: Vector2<F>) -> Self {
        Self::from(self.at + step.along)
    }
}

impl<F> Add for Vector2<F> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::from(self.along + other.along)
    }
}

impl<F> Neg for Vector2<F> {
    type Output = Self;
    fn neg(self) -> Self {
        Self::from(-self.along)
    }
}

impl<F> Mul<f64> for Vector2<F> {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::from(self.along * factor)
    }
}
