/** Says something on the broker that we listen to. Resolves when the broker took it, rejects with a Fault if it cannot. */
export interface Publisher {
  publish(topic: string, payload: string, options: { readonly retain: boolean }): Promise<void>
}
