// What a person types, made uniform before it is read.

/** Without accents, in small letters. */
export const plain = (text: string): string => text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();

/** Replaces the language's digits by 0–9. */
export function withOurDigits(text: string, locale?: string): string {
  const format = new Intl.NumberFormat(locale, { useGrouping: false });
  let ours = text;
  for (let digit = 0; digit < 10; digit += 1) ours = ours.replaceAll(format.format(digit), String(digit));
  return ours;
}

/** What was read of an entry, or why it was refused, in sentences. */
export type Read<T> = { value: T } | { wrong: string };
