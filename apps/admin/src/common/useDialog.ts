import { useState } from 'react';

/** Which record a dialog is open for; null: closed. */
export function useDialog<T>() {
  const [subject, setSubject] = useState<T | null>(null);
  return { subject, open: setSubject, close: () => setSubject(null) };
}
