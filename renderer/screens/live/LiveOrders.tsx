import { useMemo } from 'react';
import type { BundleChannel } from '../../../shared/bundle/visit.ts';
import { OrderCells, OrderHeads } from '../../components/OrderCells.tsx';
import { OrderMatrix } from '../../components/OrderMatrix.tsx';
import { useOrderName } from '../../i18n/use-order-name.ts';
import type { LevelScale } from '../../levels/scale.ts';
import { useApp } from '../../store/context.ts';

/** The live order energies, apart from the board so that only they render four times a second. */

const NONE = [] as const;
function useLines() {
  const lines = useApp((s) => s.orders?.lines ?? NONE);
  const orderName = useOrderName();
  return useMemo(() => lines.map((l) => ({ ...l, label: orderName(l.label) })), [lines, orderName]);
}

export const LiveOrderHeads = () => <OrderHeads lines={useLines()} />;

interface Props {
  channels: readonly BundleChannel[];
  scale: LevelScale;
}

export const LiveOrderCells = (props: Props & { index: number }) => (
  <OrderCells {...props} lines={useLines()} />
);

export const LiveOrderMatrix = (props: Props & { heard: number | null }) => (
  <OrderMatrix {...props} lines={useLines()} />
);
