// The typed client of the server's API (docs/api.md). Every failure is a Refusal: what, where and
// what to do, as the server says it, or in our words when it does not answer.
import type {
  Artwork,
  Ask,
  Fault,
  Ground,
  Job,
  JobRow,
  Lists,
  Offer,
  Patched,
  Progress,
  View,
} from './types';

export class Refusal extends Error {
  readonly fault: Fault;
  /** HTTP status; 0 when there was no answer. */
  readonly status: number;
  constructor(fault: Fault, status: number) {
    super(fault.what);
    this.fault = fault;
    this.status = status;
  }
}

export const kNoAnswer: Fault = {
  code: 'no_answer',
  what: 'Buckram does not answer.',
  where: '',
  hint: 'See whether it still runs. Nothing is lost: what was planned is on disk. The page tries again by itself.',
};

function faultOf(body: unknown, status: number): Fault {
  const error = (body as { error?: Partial<Fault> } | null)?.error;
  return {
    code: error?.code ?? String(status),
    what: error?.what ?? `The server answered ${status}.`,
    where: error?.where ?? '',
    hint:
      error?.hint ??
      (status === 401
        ? 'Open the address that Buckram printed when it started; it carries the key.'
        : ''),
  };
}

export async function ask<T>(
  method: string,
  path: string,
  body?: unknown,
  abort?: AbortSignal,
): Promise<T> {
  const headers: Record<string, string> = {};
  if (method !== 'GET') headers['X-Buckram'] = '1';
  const isRaw = body instanceof Blob;
  if (body !== undefined && !isRaw) headers['Content-Type'] = 'application/json';
  let response: Response;
  try {
    response = await fetch(path, {
      method,
      headers,
      body: body === undefined ? null : isRaw ? body : JSON.stringify(body),
      signal: abort ?? null,
    });
  } catch (error) {
    if (abort?.aborted) throw error;
    throw new Refusal(kNoAnswer, 0);
  }
  const text = await response.text().catch(() => '');
  let parsed: unknown = null;
  try {
    parsed = text ? JSON.parse(text) : null;
  } catch {
    parsed = null;
  }
  if (!response.ok) throw new Refusal(faultOf(parsed, response.status), response.status);
  return parsed as T;
}

const at = (id: string) => `/api/jobs/${encodeURIComponent(id)}`;

/** What a new job starts from. */
export type NewJob = { artwork?: string; set: string[] } | { copy_of: string } | { again: string };

export interface JobEvents {
  onState?: (job: Partial<Job>) => void;
  onProgress?: (progress: Progress) => void;
  onShown?: (revision: number) => void;
  /** Something of a run can be seen before its files. */
  onAhead?: () => void;
  onFailed?: (fault: Fault) => void;
  onCancelled?: () => void;
  onLost?: () => void;
  onBack?: () => void;
}

const kSoon_ms = 250;
const kAgain_ms = 1500;

function hearAll(source: EventSource, on: JobEvents): void {
  const hear = <T>(name: string, then: (data: T) => void) =>
    source.addEventListener(name, (event) => then(JSON.parse((event as MessageEvent).data) as T));
  hear<Partial<Job>>('state', (job) => on.onState?.(job));
  hear<Progress>('progress', (progress) => on.onProgress?.(progress));
  hear<{ revision: number }>('shown', ({ revision }) => on.onShown?.(revision));
  hear('ahead', () => on.onAhead?.());
  hear<{ error: Fault }>('failed', ({ error }) => on.onFailed?.(error));
  hear('cancelled', () => on.onCancelled?.());
}

/**
 * Follows a job until the answer is called. A stream that breaks is opened again; only when that
 * fails too is the server told to be lost, and the page that it is back once it answers. A job that
 * is gone has failed.
 */
function listen(id: string, on: JobEvents): () => void {
  let source: EventSource;
  let failures = 0;
  let timer: ReturnType<typeof setTimeout>;
  let isOver = false;
  // A stream does not say why it broke: a job that is gone, or a token, is not waited for.
  const lost = async () => {
    try {
      await ask<Job>('GET', at(id));
    } catch (error) {
      const { status, fault } = error as Refusal;
      if (isOver) return;
      if (status === 401 || status === 404) return on.onFailed?.(fault);
      on.onLost?.();
    }
    if (!isOver) timer = setTimeout(open, kAgain_ms);
  };
  const open = () => {
    source = new EventSource(`${at(id)}/events`);
    hearAll(source, on);
    source.onopen = () => {
      if (failures > 0) on.onBack?.();
      failures = 0;
    };
    source.onerror = () => {
      source.close();
      failures++;
      if (failures > 1) void lost();
      else timer = setTimeout(open, kSoon_ms);
    };
  };
  open();
  return () => {
    isOver = true;
    clearTimeout(timer);
    source.close();
  };
}

export const api = {
  lists: () => ask<Lists>('GET', '/api/lists'),
  jobs: (find = '') =>
    ask<{ jobs: JobRow[] }>('GET', `/api/jobs${find ? `?find=${encodeURIComponent(find)}` : ''}`),
  upload: (file: File) =>
    ask<Artwork>('POST', `/api/artwork?name=${encodeURIComponent(file.name)}`, file),
  create: (job: NewJob) => ask<{ id: string }>('POST', '/api/jobs', job),
  job: (id: string) => ask<Job>('GET', at(id)),
  view: (id: string) => ask<View>('GET', `${at(id)}/view`),
  patch: (id: string, asked: Ask, words: string) =>
    ask<Patched>('PATCH', at(id), { ...asked, words }),
  undo: (id: string) => ask<Patched>('POST', `${at(id)}/undo`),
  redo: (id: string) => ask<Patched>('POST', `${at(id)}/redo`),
  cancel: (id: string) => ask<unknown>('POST', `${at(id)}/cancel`),
  improve: (id: string) => ask<Patched>('POST', `${at(id)}/improve`),
  remove: (id: string) => ask<unknown>('DELETE', at(id)),
  restore: (id: string) => ask<unknown>('POST', `${at(id)}/restore`),
  ground: (set: string[], job: string | undefined, abort?: AbortSignal) =>
    ask<Ground>('POST', '/api/ground', job ? { set, job } : { set }, abort),
  offers: (artwork: string, set: string[], caps: string[] | null) =>
    ask<{ offers: Offer[] }>('POST', '/api/offers', { artwork, set, caps }),
  listen,
  file: (id: string, name: string) => `${at(id)}/${name}`,
};
export type Api = typeof api;
