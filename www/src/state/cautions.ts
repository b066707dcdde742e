// What every account of the figures says, on the screen and on paper.

export const NO_PROOF =
  'The figures help with design. They prove nothing to an authority: building rules, escape and task lighting, safety ' +
  'glazing and consent for listed buildings need people licensed for them.';

/** As the README has it. */
export const NEVER_AT_THE_SUN = 'Never look at the sun through glass, clear or coloured: it can injure the eye.';

/** While a part of the sun's disc is seen from the viewing position. */
export const SUN_IN_EYES = 'The sun stands in the eyes here; looking at it can injure them.';

/** The warnings of a report but for that of the sun in the eyes, which the reading gives beside the light level. */
export const otherWarnings = (warnings: readonly string[]): string[] =>
  warnings.filter((warning) => !warning.startsWith('sun: '));
