/** Disjoint sets over 0 … n-1, with path halving; the smallest member of a set is its root. */
export class UnionFind {
  private readonly parent: Int32Array;

  constructor(size: number) {
    this.parent = new Int32Array(size);
    for (let i = 0; i < size; i++) this.parent[i] = i;
  }

  find(i: number): number {
    const { parent } = this;
    while (parent[i] !== i) i = parent[i] = parent[parent[i]!]!;
    return i;
  }

  union(a: number, b: number): void {
    // Of neighbours that are together already nearly all have one parent.
    if (this.parent[a] === this.parent[b]) return;
    const ra = this.find(a);
    const rb = this.find(b);
    if (ra < rb) this.parent[rb] = ra;
    else if (rb < ra) this.parent[ra] = rb;
  }
}
