/**
 * Serving the pages on this machine alone: what was built, from memory, at the loopback address. A change of a page script, the
 * computation or the worksheet builds anew, in a process of its own, and reloads the pages that are open; where that fails, the
 * last good pages stay and the reason is told.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, watch } from 'node:fs';
import { createServer, type Server, type ServerResponse } from 'node:http';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import type { BuiltPage } from './build.ts';
import { program, watched } from './sources.ts';

/** The script that loads a page anew. */
export const reloadScript = "new EventSource('/changes').onmessage=()=>location.reload()";

const address = '127.0.0.1';
const firstPort = 8733;
const lastPort = firstPort + 50;

/** A server of pages: where it listens, and how to give it new ones and end it. */
export interface PageServer {
  readonly url: string;
  readonly replace: (pages: readonly BuiltPage[]) => void;
  readonly close: () => void;
}

/** Listens at the first port that is free from `port` on. */
function listen(server: Server, port: number): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE' && port < lastPort) resolve(listen(server, port + 1));
      else reject(error);
    });
    server.listen(port, address, () => {
      server.removeAllListeners('error');
      resolve(port);
    });
  });
}

/** Serves pages from memory: `/` is the first, `/name.html` each; nothing else exists. */
export async function servePages(pages: readonly BuiltPage[], port = firstPort): Promise<PageServer> {
  let files = new Map<string, string>();
  const open = new Set<ServerResponse>();
  const replace = (next: readonly BuiltPage[]): void => {
    files = new Map(next.map(({ name, html }) => [`/${name}.html`, html]));
    if (next[0]) files.set('/', next[0].html);
    for (const response of open) response.write('data: built\n\n');
  };
  replace(pages);
  const server = createServer((request, response) => {
    const headers = { 'Cache-Control': 'no-store', 'X-Content-Type-Options': 'nosniff' };
    const host = (request.headers.host ?? '').replace(/:\d+$/, '');
    const path = (request.url ?? '/').replace(/[?#].*$/, '');
    if (request.method !== 'GET' && request.method !== 'HEAD') {
      response.writeHead(405, { ...headers, Allow: 'GET, HEAD' }).end();
    } else if (host !== address && host !== 'localhost') {
      // A name that points here from elsewhere is not ours to answer.
      response.writeHead(403, headers).end();
    } else if (path === '/changes') {
      response.writeHead(200, { ...headers, 'Content-Type': 'text/event-stream' });
      response.write(': open\n\n');
      open.add(response);
      response.on('close', () => open.delete(response));
    } else if (files.has(path)) {
      response.writeHead(200, { ...headers, 'Content-Type': 'text/html; charset=utf-8' });
      response.end(request.method === 'HEAD' ? undefined : files.get(path));
    } else
      response.writeHead(404, { ...headers, 'Content-Type': 'text/plain' }).end('There is no such page.\n');
  });
  const taken = await listen(server, port);
  return {
    url: `http://${address}:${taken}/`,
    replace,
    close: () => {
      for (const response of open) response.end();
      server.close();
      server.closeAllConnections();
    },
  };
}

/** Pages built in a process of their own, so that changed scripts are read anew; rejects with what it complains of. */
function builtElsewhere(worksheet: string, settings: readonly string[]): Promise<BuiltPage[]> {
  return new Promise((resolve, reject) => {
    const folder = mkdtempSync(join(tmpdir(), 'halfbit-'));
    const args = [...program, 'build', worksheet, '--out', folder, '--reload'];
    const child = spawn(process.execPath, [...args, ...settings], {
      cwd: process.cwd(),
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    let complaints = '';
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      complaints += text;
    });
    child.on('close', (code) => {
      const names = readdirSync(folder).filter((f) => f.endsWith('.html'));
      const pages = names.map((f) => ({
        name: basename(f, '.html'),
        html: readFileSync(join(folder, f), 'utf8'),
      }));
      rmSync(folder, { recursive: true, force: true });
      if (code === 0) resolve(pages);
      else reject(new Error(complaints.trim()));
    });
  });
}

/** Watches what pages are made of and hands each new set of pages to `take`; complaints go to `complain`. */
export function watchSources({
  worksheet,
  settings,
  order,
  take,
  complain,
}: {
  worksheet: string;
  settings: readonly string[];
  order: () => readonly string[];
  take: (pages: readonly BuiltPage[]) => void;
  complain: (words: string) => void;
}): () => void {
  let timer: NodeJS.Timeout | undefined;
  let building = false;
  let again = false;
  const build = async (): Promise<void> => {
    if (building) {
      again = true;
      return;
    }
    building = true;
    try {
      const pages = await builtElsewhere(worksheet, settings);
      const rank = (name: string): number => (order().indexOf(name) + 1 || 99) - 1;
      take(pages.sort((a, b) => rank(a.name) - rank(b.name)));
    } catch (error) {
      complain((error as Error).message);
    }
    building = false;
    if (again) {
      again = false;
      void build();
    }
  };
  const changed = (): void => {
    clearTimeout(timer);
    timer = setTimeout(() => void build(), 80);
  };
  const watchers = watched.map((folder) => watch(folder, { recursive: true }, changed));
  // Editors replace a file rather than write into it, so its folder is watched.
  watchers.push(
    watch(dirname(worksheet), (_, file) => (file === basename(worksheet) ? changed() : undefined)),
  );
  return () => {
    clearTimeout(timer);
    for (const watcher of watchers) watcher.close();
  };
}
