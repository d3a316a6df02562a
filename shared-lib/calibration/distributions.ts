/** The distribution functions that the statistics need. Degrees of freedom may be any positive number. */
export interface Distributions {
  /** The t with so much probability below it. */
  studentTQuantile(probability: number, degreesOfFreedom: number): number;
  /** Probability of an F at least this large. */
  fUpperTail(f: number, numeratorDf: number, denominatorDf: number): number;
}
