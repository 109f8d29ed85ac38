export function boot() {}
