/** Lower and upper bound: 0 or Infinity where the data do not bound a positive quantity on that side. */
export type Interval = [number, number];
