// What autosave says in the line below the name, with the actions that it offers.
import type { Aside, Head } from '../engine/scene-store';
import { reason, type Line } from './kept';
import { downloadAside } from './kept-scenes.svelte';
import { since } from './since';

const RELOAD = { label: 'Reload', act: () => location.reload() };

/** A record of a newer page, left unchanged. */
export const ofNewerPage = (name: string): Line => ({
  words: `“${name}” was kept by a newer version of this page and has not been changed. Reload to get that version.`,
  actions: [RELOAD],
});

/** A newer page has taken the store over. */
export const OUTDATED: Line = {
  words: 'A newer version of this page is open in another tab. Changes made here are no longer kept: reload.',
  actions: [RELOAD],
};

/** Another tab holds up the upgrade of the store. */
export const BLOCKED: Line = {
  words:
    'Nothing can be kept in this browser: another tab has an older version of this page open. Close the other tabs of this page and reload.',
  actions: [RELOAD],
};

export const notOpened = (name: string, why: string): Line => ({
  words: `“${name}” could not be opened (${why}). It is still kept, unchanged; reload to try again.`,
  actions: [RELOAD],
});

export const notRead = (error: unknown): Line => ({
  words: `The kept scene could not be read: ${reason(error)}.`,
  actions: [],
});

export const damagedElsewhere = (why: string): Line => ({
  words: `The kept scene is damaged (${why}), and another tab has it open.`,
  actions: [],
});

export const setAside = (why: string, aside: Aside | undefined): Line => ({
  words: `The scene kept here is damaged (${why}) and was set aside. None of it was loaded.`,
  actions: aside === undefined ? [] : [{ label: 'Download the damaged scene', act: () => downloadAside(aside) }],
});

export const notSetAside = (why: string, error: unknown): Line => ({
  words: `The scene kept here is damaged (${why}) and could not be set aside: ${reason(error)}.`,
  actions: [],
});

export const openElsewhere = (keepCopy: () => void): Line => ({
  words: 'This scene is open in another tab, which keeps its changes. Changes made here are not kept.',
  actions: [{ label: 'Keep a separate copy', act: keepCopy }],
});

export const asLeft = ({ changedAt, origin }: Head, again: () => void): Line => ({
  words: `Opened as you left it, ${since(new Date(changedAt))}.`,
  actions: origin.kind === 'demo' ? [{ label: 'Start again from the demo', act: again }] : [],
});

/** Another scene has taken the place of this one. `held`: it is kept. */
export const left = ({ name }: Head, held: boolean, back: () => void): Line => ({
  words: held
    ? 'The scene that was open is kept.'
    : `“${name}” was not kept: it exists only on this page, until another scene is opened.`,
  actions: [{ label: `Back to “${name}”`, act: back }],
});

/** `back`: reopens it; null if another scene has taken its place. */
export const onlyHere = ({ name }: Head, error: unknown, back: (() => void) | null): Line => ({
  words: `“${name}” could not be kept (${reason(error)}): it exists only on this page.`,
  actions: back === null ? [] : [{ label: `Back to “${name}”`, act: back }],
});
