// The measurements of an opening as the form holds them, and what it begins with.
import type { Filling, Measurements, Opening } from '../engine/contract';
import { MM_PER_INCH, type System } from './lengths';

export type Shape = Opening['shape'];
export type Pattern = 'plain' | 'quarries' | 'panes';

export interface OpeningForm {
  shape: Shape;
  /** Of a round opening, its diameter. */
  widthMm: number;
  heightMm: number;
  /** Of a pointed head; null for the equilateral arch. */
  pointRiseMm: number | null;
  segmentRiseMm: number;
  pattern: Pattern;
  quarryWidthMm: number;
  quarryHeightMm: number;
  panesBy: 'number' | 'size';
  columns: number;
  rows: number;
  paneWidthMm: number;
  paneHeightMm: number;
  hasBorder: boolean;
  borderMm: number;
  borderPieceMm: number;
  hasBars: boolean;
  barSpacingMm: number;
  barDiameterMm: number;
  edgeLeadMm: number;
  leadMm: number;
}

/** The names of fields that hold lengths. */
export type LengthName = {
  [Name in keyof OpeningForm]: number extends OpeningForm[Name] ? Name : never;
}[Exclude<keyof OpeningForm, 'columns' | 'rows'>];

const METRIC: OpeningForm = {
  shape: 'rectangle',
  widthMm: 600,
  heightMm: 1500,
  pointRiseMm: null,
  segmentRiseMm: 120,
  pattern: 'quarries',
  quarryWidthMm: 100,
  quarryHeightMm: 140,
  panesBy: 'number',
  columns: 3,
  rows: 6,
  paneWidthMm: 150,
  paneHeightMm: 200,
  hasBorder: false,
  borderMm: 40,
  borderPieceMm: 150,
  hasBars: true,
  barSpacingMm: 450,
  barDiameterMm: 10,
  edgeLeadMm: 12,
  leadMm: 6,
};

/** Near the metric ones, in round inches. */
const INCHES: OpeningForm = {
  ...METRIC,
  widthMm: 24 * MM_PER_INCH,
  heightMm: 60 * MM_PER_INCH,
  segmentRiseMm: 5 * MM_PER_INCH,
  quarryWidthMm: 4 * MM_PER_INCH,
  quarryHeightMm: 5.5 * MM_PER_INCH,
  paneWidthMm: 6 * MM_PER_INCH,
  paneHeightMm: 8 * MM_PER_INCH,
  borderMm: 1.5 * MM_PER_INCH,
  borderPieceMm: 6 * MM_PER_INCH,
  barSpacingMm: 18 * MM_PER_INCH,
  barDiameterMm: 0.375 * MM_PER_INCH,
  edgeLeadMm: 0.5 * MM_PER_INCH,
  leadMm: 0.25 * MM_PER_INCH,
};

/** What the form begins with. Common practice, no source; the size is an example. */
export const usualForm = (system: System): OpeningForm => (system === 'feet' ? INCHES : METRIC);

/** Each shape with its word and a picture, 48 by 64. */
export const SHAPES: readonly { value: Shape; word: string; name: string; path: string }[] = [
  { value: 'rectangle', word: 'Rectangle', name: 'Rectangular window', path: 'M10 6H38V60H10Z' },
  {
    value: 'round_headed',
    word: 'Round-headed',
    name: 'Round-headed window',
    path: 'M10 60V20A14 14 0 0 1 38 20V60Z',
  },
  {
    value: 'pointed',
    word: 'Pointed',
    name: 'Pointed window',
    path: 'M10 60V28.25A28 28 0 0 1 24 4A28 28 0 0 1 38 28.25V60Z',
  },
  { value: 'segmental', word: 'Segmental', name: 'Segmental window', path: 'M10 60V12A19.33 19.33 0 0 1 38 12V60Z' },
  { value: 'round', word: 'Round', name: 'Round window', path: 'M4 40A20 20 0 0 1 44 40A20 20 0 0 1 4 40Z' },
];

/** Each filling with its word and a picture, 48 by 64. */
export const PATTERNS: readonly { value: Pattern; word: string; path: string }[] = [
  { value: 'plain', word: 'One piece', path: 'M10 6H38V60H10Z' },
  {
    value: 'quarries',
    word: 'Quarries',
    path: 'M10 6H38V60H10ZM24 6L10 24L38 60M24 6L38 24L10 60M10 24L24 42L38 24M10 42L24 24L38 42M10 42L24 60L38 42M10 6L24 24L38 6',
  },
  { value: 'panes', word: 'Rectangles', path: 'M10 6H38V60H10ZM19.33 6V60M28.67 6V60M10 19.5H38M10 33H38M10 46.5H38' },
];

function opening(form: OpeningForm): Opening {
  const { shape, widthMm: width_mm, heightMm: height_mm } = form;
  switch (shape) {
    case 'round':
      return { shape, diameter_mm: width_mm };
    case 'pointed':
      return { shape, width_mm, height_mm, rise_mm: form.pointRiseMm };
    case 'segmental':
      return { shape, width_mm, height_mm, rise_mm: form.segmentRiseMm };
    case 'rectangle':
    case 'round_headed':
      return { shape, width_mm, height_mm };
  }
}

function filling(form: OpeningForm): Filling {
  if (form.pattern === 'plain') return { pattern: 'plain' };
  if (form.pattern === 'quarries') {
    return { pattern: 'quarries', width_mm: form.quarryWidthMm, height_mm: form.quarryHeightMm };
  }
  return form.panesBy === 'number'
    ? { pattern: 'rectangles', columns: form.columns, rows: form.rows }
    : { pattern: 'rectangles_by_size', pane_width_mm: form.paneWidthMm, pane_height_mm: form.paneHeightMm };
}

/** What is asked of the module. */
export const measurementsOf = (form: OpeningForm): Measurements => ({
  opening: opening(form),
  filling: filling(form),
  border: form.hasBorder ? { width_mm: form.borderMm, piece_mm: form.borderPieceMm } : null,
  bars: form.hasBars ? { spacing_mm: form.barSpacingMm, diameter_mm: form.barDiameterMm } : null,
  leads: { border_face_mm: form.edgeLeadMm, face_mm: form.leadMm },
});
