import { connect, createServer, type Server, type Socket } from 'node:net';

/** Stands between a bench and the server, and cuts the line once so many bytes have passed in one direction. */
export class CuttingProxy {
  readonly #server: Server;
  readonly #sockets = new Set<Socket>();
  /** Bytes that still pass; undefined: all do. */
  up: number | undefined;
  down: number | undefined;
  /** Bytes that have passed since this was asked last. */
  passed = { up: 0, down: 0 };
  connections = 0;

  private constructor(server: Server) {
    this.#server = server;
  }

  /** @param to port of the server; none: whoever connects is left waiting */
  static started(to?: number): Promise<CuttingProxy> {
    const server = createServer();
    const proxy = new CuttingProxy(server);
    server.on('connection', (bench) => {
      proxy.connections += 1;
      proxy.#hold(bench);
      if (to === undefined) return;
      const shop = connect(to, '127.0.0.1');
      proxy.#hold(shop);
      proxy.#pass(bench, shop, 'up');
      proxy.#pass(shop, bench, 'down');
    });
    return new Promise((resolve) => server.listen(0, '127.0.0.1', () => resolve(proxy)));
  }

  get port(): number {
    const address = this.#server.address();
    return typeof address === 'object' ? (address?.port ?? 0) : 0;
  }

  stop(): void {
    for (const socket of this.#sockets) socket.destroy();
    this.#server.close();
  }

  #hold(socket: Socket): void {
    this.#sockets.add(socket);
    socket.on('error', () => undefined);
  }

  #pass(from: Socket, to: Socket, way: 'up' | 'down'): void {
    from.on('data', (bytes) => {
      this.passed[way] += bytes.length;
      const left = this[way];
      if (left === undefined || bytes.length < left) {
        if (left !== undefined) this[way] = left - bytes.length;
        to.write(bytes);
        return;
      }
      // The last bytes still get through, then both ends hear no more.
      to.write(bytes.subarray(0, left), () => {
        from.destroy();
        to.destroy();
      });
    });
    from.on('close', () => to.destroy());
  }
}
