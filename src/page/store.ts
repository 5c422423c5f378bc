/** What the page knows, in one record; whoever shows a part of it is told when that part changes. */
export class Store<T extends object> {
  private readonly listeners: { keys: readonly (keyof T)[]; tell: (state: Readonly<T>) => void }[] = [];

  constructor(private state: Readonly<T>) {}

  get now(): Readonly<T> {
    return this.state;
  }

  /** Takes the changes in, and tells those who watch one of the keys that really changed. */
  set(changes: Partial<T>): void {
    const before = this.state;
    this.state = { ...before, ...changes };
    const changed = (Object.keys(changes) as (keyof T)[]).filter((key) => before[key] !== this.state[key]);
    if (changed.length === 0) return;
    for (const { keys, tell } of [...this.listeners]) {
      if (keys.some((key) => changed.includes(key))) tell(this.state);
    }
  }

  /** Tells now, and whenever one of the keys changes. */
  watch(keys: readonly (keyof T)[], tell: (state: Readonly<T>) => void): void {
    this.listeners.push({ keys, tell });
    tell(this.state);
  }
}
