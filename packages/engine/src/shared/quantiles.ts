/** Three points of a distribution: one chance in ten of less, even odds, nine chances in ten of less. */
export interface Quantiles {
  p10: number;
  p50: number;
  p90: number;
}
