// Which layer of a section is open.
import type { Layer, LayerKey } from '../engine/contract';

/** A layer's key as text, the same in every section. */
export const nameOf = (key: LayerKey): string => JSON.stringify(key);

/** The plate toward the room, whose glass names the piece. */
export const INNERMOST = nameOf({ layer: 'plate', plate: 0 });

const paintOf = (key: LayerKey): string | null => (key.layer === 'paint' ? key.kind : null);

/**
 * The name of the open layer: the one opened last. In a section that lacks it, another layer of the same kind of paint,
 * otherwise the glass that names the piece. Null if the user has closed all.
 */
export function openLayer(layers: readonly Pick<Layer, 'key'>[], opened: LayerKey | null): string | null {
  if (opened === null) return null;
  const name = nameOf(opened);
  if (layers.some(({ key }) => nameOf(key) === name)) return name;
  const kind = paintOf(opened);
  const similar = kind === null ? undefined : layers.find(({ key }) => paintOf(key) === kind);
  return similar === undefined ? INNERMOST : nameOf(similar.key);
}
