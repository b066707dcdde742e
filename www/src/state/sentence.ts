// Sentences from the module, for the page.
import { decimals, percent } from './numbers';

/** With a capital first letter. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** With its percentages and decimals written in the reader's language, and `±` apart from its number. */
export function localised(text: string): string {
  return text.replace(/±(?=\d)/g, '± ').replace(/\d+(?:\.(\d+))?( %)?/g, (number, digits?: string, sign?: string) => {
    if (sign !== undefined) return percent(parseFloat(number) / 100);
    return digits === undefined ? number : decimals(Number(number), digits.length);
  });
}
