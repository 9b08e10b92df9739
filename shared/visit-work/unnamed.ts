import type { VehicleSpec } from '../bundle/visit.ts';

/** A vehicle that nobody has named yet goes by this label until somebody does. */
export const UNNAMED_VEHICLE = 'Vehicle not named yet';

/** What is known of it: nothing. The bundle format has no unknown layout: one stands in, and says that it does. */
export const UNNAMED_SPEC: VehicleSpec = { label: UNNAMED_VEHICLE, layout: 'fwd', layoutAssumed: true };
