import { GrowingUint32 } from '../base/growing.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';

/** The objects of a file, by name, and which triangle belongs to which. Parts of one name are one object. */
export class ObjectNames {
  private readonly names: string[] = [];
  private readonly indexOf = new Map<string, number>();
  private readonly objectOf = new GrowingUint32();
  private current = '';
  private currentIndex = -1;
  private named = false;

  begin(name: string): void {
    this.current = name;
    this.currentIndex = -1;
    if (name !== '') this.named = true;
  }

  /** One more triangle belongs to the object that was begun last. An object without a triangle gets no entry. */
  addTriangle(): void {
    if (this.currentIndex < 0) {
      this.currentIndex = this.indexOf.get(this.current) ?? this.names.length;
      if (this.currentIndex === this.names.length) {
        this.names.push(this.current);
        this.indexOf.set(this.current, this.currentIndex);
      }
    }
    this.objectOf.push(this.currentIndex);
  }

  /** Nothing, where the file names no object. */
  take(): Pick<TriangleMesh, 'objectNames' | 'objectOf'> {
    return this.named ? { objectNames: this.names, objectOf: this.objectOf.take() } : {};
  }
}
