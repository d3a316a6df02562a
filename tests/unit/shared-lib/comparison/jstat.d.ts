/** The part of jStat (1.9) that the tests hold our functions to; it comes without types. */
declare module 'jstat' {
  const jStat: {
    readonly tukey: {
      cdf(q: number, count: number, degreesOfFreedom: number): number;
      inv(probability: number, count: number, degreesOfFreedom: number): number;
    };
  };
  export = jStat;
}
