import type { Problem } from '@lintel/contract';
import { HttpError } from 'react-admin';

export interface Upload<T> {
  done: Promise<T>;
  cancel: () => void;
}

/** Sends a file as it is; `fetch` cannot yet say how much of a body has gone, so this is the older way. */
export function upload<T>(path: string, file: Blob, onProgress: (share: number) => void): Upload<T> {
  const request = new XMLHttpRequest();
  const done = new Promise<T>((resolve, reject) => {
    request.upload.addEventListener('progress', (event) => {
      if (event.lengthComputable) onProgress(event.loaded / event.total);
    });
    request.addEventListener('error', () => reject(new HttpError('The server cannot be reached, or it broke the upload off.', 0, { problem: null })));
    request.addEventListener('abort', () => reject(new HttpError('The upload was stopped.', 0, { problem: null })));
    request.addEventListener('load', () => {
      const answer = parsed(request.responseText);
      if (request.status >= 200 && request.status < 300) resolve(answer as T);
      else {
        const problem = answer as Problem | null;
        reject(new HttpError(problem?.detail ?? `The server answered ${request.status}.`, request.status, { problem }));
      }
    });
    request.open('POST', `/api/v1${path}`);
    request.setRequestHeader('content-type', 'text/csv');
    request.setRequestHeader('accept', 'application/json');
    request.send(file);
  });
  return { done, cancel: () => request.abort() };
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
