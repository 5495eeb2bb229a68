/** Which routes have stops, and which are spare, by class of routes that are alike: one spare route stands for its class. */
export class UsedRoutes {
  /** The routes with stops, `routes[0 … count − 1]`, in no order. */
  readonly routes: Int32Array;
  count = 0;
  readonly classCount: number;
  private readonly spare: Int32Array;
  private readonly spareCount: Int32Array;
  private readonly classFirst: Int32Array;
  /** Index of each route in `routes` or in `spare`. */
  private readonly at: Int32Array;

  constructor(private readonly routeClass: Int32Array) {
    this.classCount = routeClass.reduce((most, kind) => Math.max(most, kind + 1), 0);
    this.routes = new Int32Array(routeClass.length);
    this.spare = new Int32Array(routeClass.length);
    this.at = new Int32Array(routeClass.length);
    this.spareCount = new Int32Array(this.classCount);
    this.classFirst = new Int32Array(this.classCount + 1);
    for (const kind of routeClass) this.classFirst[kind + 1]!++;
    for (let kind = 0; kind < this.classCount; kind++) this.classFirst[kind + 1]! += this.classFirst[kind]!;
    this.clear();
  }

  /** Makes every route spare. */
  clear(): void {
    this.count = 0;
    this.spareCount.fill(0);
    for (let route = 0; route < this.routeClass.length; route++) this.addSpare(route);
  }

  /** A spare route of the class, −1 when all are used. */
  spareOf(kind: number): number {
    return this.spareCount[kind]! > 0 ? this.spare[this.classFirst[kind]!]! : -1;
  }

  use(route: number): void {
    const kind = this.routeClass[route]!;
    const last = this.spare[this.classFirst[kind]! + --this.spareCount[kind]!]!;
    this.spare[this.at[route]!] = last;
    this.at[last] = this.at[route]!;
    this.at[route] = this.count;
    this.routes[this.count++] = route;
  }

  free(route: number): void {
    const last = this.routes[--this.count]!;
    this.routes[this.at[route]!] = last;
    this.at[last] = this.at[route]!;
    this.addSpare(route);
  }

  private addSpare(route: number): void {
    const kind = this.routeClass[route]!;
    this.at[route] = this.classFirst[kind]! + this.spareCount[kind]!++;
    this.spare[this.at[route]!] = route;
  }
}
