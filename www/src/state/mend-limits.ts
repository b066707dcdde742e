// Tolerances within which ends can be joined, mm: as the crate `drawing_io` has them.
export const LEAST_MM = 0.2;
export const MOST_MM = 15;
