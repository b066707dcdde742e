//! Points and vectors in space.

use std::fmt;
use std::marker::PhantomData;
use std::ops::{Add, AddAssign, Div, Index, IndexMut, Mul, Neg, Sub};

use bytemuck::TransparentWrapper;
use glam::DVec3;

use crate::frame::{PanelMm, RoomM};

/// A point of the space that the frame `F` names, in its unit.
#[derive(Clone, Copy, PartialEq, TransparentWrapper)]
#[repr(transparent)]
#[transparent(DVec3)]
pub struct Point3<F> {
    at: DVec3,
    frame: PhantomData<F>,
}

/// A step or a direction along the axes of the frame `F`; a unit vector where a function says so.
#[derive(Clone, Copy, PartialEq)]
pub struct Vector3<F> {
    along: DVec3,
    frame: PhantomData<F>,
}

/// A point before the panel (z above 0) or behind it, mm.
pub type PanelSpacePoint = Point3<PanelMm>;
/// A step (mm) or a direction in the panel's frame.
pub type PanelSpaceVector = Vector3<PanelMm>;
/// A point of the room, m.
pub type RoomPoint = Point3<RoomM>;
/// A step (m) or a direction in the room.
pub type RoomVector = Vector3<RoomM>;

impl<F> Point3<F> {
    /// From x, y and z.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { at: DVec3::new(x, y, z), frame: PhantomData }
    }

    /// x, y and z.
    pub const fn to_array(self) -> [f64; 3]
    where
        F: Copy,
    {
        self.at.to_array()
    }

    /// As glam has it, without its frame.
    pub const fn vector(self) -> DVec3
    where
        F: Copy,
    {
        self.at
    }

    /// Arrays of x, y and z read as points of this frame, without a copy.
    pub fn slice(arrays: &[[f64; 3]]) -> &[Self] {
        Self::wrap_slice(bytemuck::cast_slice(arrays))
    }

    /// Points read as arrays of x, y and z, without a copy.
    pub fn arrays(points: &[Self]) -> &[[f64; 3]] {
        bytemuck::cast_slice(Self::peel_slice(points))
    }
}

impl<F> Vector3<F> {
    /// The zero vector.
    pub const ZERO: Self = Self::new(0.0, 0.0, 0.0);

    /// From its components along x, y and z.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { along: DVec3::new(x, y, z), frame: PhantomData }
    }

    /// Unit vector toward the sky direction with this bearing, clockwise seen from above from the outward normal of the
    /// glass, and altitude, both in degrees.
    pub fn toward_sky(bearing_deg: f64, altitude_deg: f64) -> Self {
        let (sin_d, cos_d) = bearing_deg.to_radians().sin_cos();
        let (sin_h, cos_h) = altitude_deg.to_radians().sin_cos();
        Self::new(cos_h * sin_d, sin_h, -cos_h * cos_d)
    }

    /// The components along x, y and z.
    pub const fn to_array(self) -> [f64; 3]
    where
        F: Copy,
    {
        self.along.to_array()
    }

    /// As glam has it, without its frame.
    pub const fn vector(self) -> DVec3
    where
        F: Copy,
    {
        self.along
    }

    /// Scalar product.
    pub fn dot(self, other: Self) -> f64 {
        self.along.dot(other.along)
    }

    /// Vector product.
    pub fn cross(self, other: Self) -> Self {
        Self::from(self.along.cross(other.along))
    }

    /// Length.
    pub fn length(self) -> f64 {
        self.along.length()
    }

    /// Scaled to length one; zero stays zero. Divides by the length instead of multiplying by its reciprocal as
    /// glam does, which saves one rounding.
    pub fn unit(self) -> Self
    where
        F: Copy,
    {
        let length = self.length();
        if length > 0.0 { self / length } else { self }
    }
}

impl<F> fmt::Debug for Point3<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.at.to_array().fmt(f)
    }
}

impl<F> fmt::Debug for Vector3<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.along.to_array().fmt(f)
    }
}

impl<F> From<[f64; 3]> for Point3<F> {
    fn from([x, y, z]: [f64; 3]) -> Self {
        Self::new(x, y, z)
    }
}

impl<F> From<DVec3> for Vector3<F> {
    fn from(along: DVec3) -> Self {
        Self { along, frame: PhantomData }
    }
}

impl<F> From<[f64; 3]> for Vector3<F> {
    fn from([x, y, z]: [f64; 3]) -> Self {
        Self::new(x, y, z)
    }
}

/// By axis: 0 x, 1 y, 2 z.
impl<F> Index<usize> for Point3<F> {
    type Output = f64;
    fn index(&self, axis: usize) -> &f64 {
        &self.at[axis]
    }
}

impl<F> IndexMut<usize> for Point3<F> {
    fn index_mut(&mut self, axis: usize) -> &mut f64 {
        &mut self.at[axis]
    }
}

/// By axis: 0 x, 1 y, 2 z.
impl<F> Index<usize> for Vector3<F> {
    type Output = f64;
    fn index(&self, axis: usize) -> &f64 {
        &self.along[axis]
    }
}

impl<F> IndexMut<usize> for Vector3<F> {
    fn index_mut(&mut self, axis: usize) -> &mut f64 {
        &mut self.along[axis]
    }
}

impl<F> Sub for Point3<F> {
    type Output = Vector3<F>;
    fn sub(self, other: Self) -> Vector3<F> {
        Vector3::from(self.at - other.at)
    }
}

impl<F> Add<Vector3<F>> for Point3<F> {
    type Output = Self;
    fn add(self, step: Vector3<F>) -> Self {
        Self { at: self.at + step.along, frame: PhantomData }
    }
}

impl<F> Add for Vector3<F> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::from(self.along + other.along)
    }
}

impl<F> AddAssign for Vector3<F> {
    fn add_assign(&mut self, other: Self) {
        self.along += other.along;
    }
}

impl<F> Neg for Vector3<F> {
    type Output = Self;
    fn neg(self) -> Self {
        Self::from(-self.along)
    }
}

impl<F> Mul<f64> for Vector3<F> {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::from(self.along * factor)
    }
}

impl<F> Div<f64> for Vector3<F> {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self::from(self.along / divisor)
    }
}
