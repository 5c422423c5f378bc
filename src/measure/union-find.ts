/** Disjoint sets with path halving; the root of a set is its least member. */
export class UnionFind {
  private readonly parent: Uint32Array;

  constructor(count: number) {
    this.parent = Uint32Array.from({ length: count }, (_, i) => i);
  }

  find(i: number): number {
    const { parent } = this;
    let at = i;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  }

  join(i: number, j: number): void {
    const a = this.find(i);
    const b = this.find(j);
    if (a < b) this.parent[b] = a;
    else this.parent[a] = b;
  }
}
