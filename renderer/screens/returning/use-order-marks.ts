import { useMemo } from 'react';
import { partOrders } from '../../../shared/driveline/orders.ts';
import type { OrderMark } from '../../components/order-marks.ts';
import { useOrderName } from '../../i18n/use-order-name.ts';
import { useApp } from '../../store/context.ts';

/** Where the lines of the open vehicle's parts lie over the turns of a wheel. */
export function useOrderMarks(): readonly OrderMark[] {
  const spec = useApp((s) => s.vehiclePage?.vehicle.spec ?? null);
  const orderName = useOrderName();
  return useMemo(
    () =>
      spec
        ? partOrders(spec).lines.flatMap(({ label, orderAtWheel }) =>
            orderAtWheel === null ? [] : [{ order: orderAtWheel, label: orderName(label) }],
          )
        : [],
    [spec, orderName],
  );
}
