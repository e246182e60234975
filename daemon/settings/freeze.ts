/** Makes data unchangeable, all the way down. Objects with private parts (secrets) have nothing to freeze inside. */
export function frozen<Data>(data: Data): Data {
  if (typeof data === 'object' && data !== null && !Object.isFrozen(data)) {
    Object.freeze(data)
    Object.values(data).forEach(frozen)
  }
  return data
}
