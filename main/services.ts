import type {
  EventName,
  EventPayload,
  RequestName,
  RequestParams,
  RequestResult,
} from '../shared-lib/api-contract.ts';

/** One function per request of the contract; parameters have been validated before it is called. */
export type RequestHandlers = {
  readonly [Name in RequestName]: (
    params: RequestParams<Name>,
  ) => RequestResult<Name> | Promise<RequestResult<Name>>;
};

export type EventListener = <Name extends EventName>(name: Name, payload: EventPayload<Name>) => void;

/** The whole program without its door: a host answers requests from `handlers` and passes the events on. */
export interface Services {
  readonly handlers: RequestHandlers;
  /** Returns the function that ends the subscription. */
  onEvent(listener: EventListener): () => void;
  /** Ends a trial under way as interrupted, then stops the reader and closes the database. */
  close(): Promise<void>;
}
