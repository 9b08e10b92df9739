/** A vehicle that nobody has named yet goes by this label until somebody does. */
export const UNNAMED_VEHICLE = 'Vehicle not named yet';
