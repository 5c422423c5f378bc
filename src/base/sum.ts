/**
 * Compensated sum (Neumaier 1974): keeps the digits that a plain sum loses where signs mix.
 * Use: `const sum = new Sum(); sum.add(x); sum.value`.
 */
export class Sum {
  private total = 0;
  private lost = 0;

  add(value: number): void {
    const next = this.total + value;
    this.lost += Math.abs(this.total) >= Math.abs(value) ? this.total - next + value : value - next + this.total;
    this.total = next;
  }

  get value(): number {
    return this.total + this.lost;
  }
}
