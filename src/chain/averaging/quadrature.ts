/**
 * Quadrature: the nodes and weights of Gauss and Legendre on −1 … 1, found once by Newton's method.
 */

/** Nodes and weights of a quadrature rule on −1 … 1. */
export interface Quadrature {
  readonly nodes: Float64Array;
  readonly weights: Float64Array;
}

/** The rule with `count` nodes, exact for polynomials of degree 2·count − 1. */
export function gaussLegendre(count: number): Quadrature {
  const nodes = new Float64Array(count);
  const weights = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    let x = -Math.cos((Math.PI * (i + 0.75)) / (count + 0.5));
    let slope = 0;
    for (let step = 0; step < 6; step++) {
      let before = 1;
      let value = x;
      for (let n = 2; n <= count; n++) {
        const next = ((2 * n - 1) * x * value - (n - 1) * before) / n;
        before = value;
        value = next;
      }
      slope = (count * (x * value - before)) / (x * x - 1);
      x -= value / slope;
    }
    nodes[i] = x;
    weights[i] = 2 / ((1 - x * x) * slope * slope);
  }
  return { nodes, weights };
}
