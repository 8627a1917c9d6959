// Types that read the generated contract (api.d.ts) by path and method. Written by hand, no values.
import type { components, paths } from "./api.js";

export type Schemas = components["schemas"];
export type Method = "get" | "post" | "put" | "delete";

/** The paths that have an operation of this method. */
export type PathsWith<M extends Method> = {
  [P in keyof paths]: paths[P] extends { [K in M]: { responses: unknown } } ? P : never;
}[keyof paths];

type Operation<M extends Method, P extends keyof paths> = paths[P] extends { [K in M]: infer O } ? O : never;
type PathOf<O> = O extends { parameters: { path: infer V } } ? { path: V } : { path?: undefined };
type QueryOf<O> = O extends { parameters: { query?: infer V } } ? { query?: V } : { query?: undefined };
type BodyOf<O> = O extends { requestBody: { content: { "application/json": infer V } } }
  ? { body: V }
  : O extends { requestBody: { content: { "application/octet-stream": unknown } } }
    ? { body: Blob }
    : { body?: undefined };

/** What a call needs: path values, query, body, and what every call may carry. */
export type CallOptions<M extends Method, P extends keyof paths> = PathOf<Operation<M, P>> &
  QueryOf<Operation<M, P>> &
  BodyOf<Operation<M, P>> & {
    /** The version an edit was made on; sent as If-Match. */
    version?: number;
    /** A fixed idempotency key; a new one is made where the contract demands one and none is given. */
    key?: string;
    signal?: AbortSignal;
  };

type JsonOf<R> = R extends { content: { "application/json": infer V } } ? V : undefined;
type Responses<O> = O extends { responses: infer R } ? R : never;

/** What the operation answers when it goes well; undefined for 204. */
export type Answer<M extends Method, P extends keyof paths> =
  Responses<Operation<M, P>> extends { 200: infer R }
    ? JsonOf<R>
    : Responses<Operation<M, P>> extends { 201: infer R }
      ? JsonOf<R>
      : undefined;

// The shapes the screens name most.
export type Me = Schemas["Me"];
export type JobPage = Schemas["JobPage"];
export type TaskView = Schemas["TaskView"];
export type TaskCard = Schemas["TaskCard"];
export type Today = Schemas["Today"];
export type HoursEntry = Schemas["HoursEntry"];
export type ClientJob = Schemas["ClientJob"];
export type ClientQuote = Schemas["ClientQuote"];
export type Problem = Schemas["Problem"];
export type Change = { job: string; what: string };
