import { useEffect, useEffectEvent, useRef, useState } from 'react';
import { Refusal } from '../shell/faces.js';
import { codeReader } from './readCode.js';

/** Between two looks at the camera's picture, ms. */
const lookEveryMs = 250;

/** Looks for a code through the camera, or in a photograph of it; typing it stays possible beside. */
export function Scanner({ onCode, onClose }: { onCode: (code: string) => void; onClose: () => void }) {
  const video = useRef<HTMLVideoElement>(null);
  const [said, setSaid] = useState<string | null>(null);
  const found = useEffectEvent(onCode);
  useEffect(() => {
    const over = new AbortController();
    look(video.current!, over.signal, found)
      .catch(() => over.signal.aborted || setSaid('The camera cannot be used. Photograph the code, or type what stands under it.'));
    return () => over.abort();
  }, []);

  async function read(file: File | undefined): Promise<void> {
    if (!file) return;
    const reader = await codeReader();
    const picture = await createImageBitmap(file).catch(() => null);
    const code = picture && (await reader(picture));
    picture?.close();
    if (code) onCode(code);
    else setSaid('No code was found in this picture. Go closer, hold it still, or type what stands under it.');
  }

  return (
    <div className="scanner">
      <video ref={video} muted playsInline aria-label="Camera" />
      <Refusal>{said}</Refusal>
      <div className="answers">
        <label className="button file">Photograph the code<input type="file" accept="image/*" capture="environment" onChange={(event) => void read(event.target.files?.[0])} /></label>
        <button type="button" className="button" onClick={onClose}>Close the camera</button>
      </div>
    </div>
  );
}

/** Looks at the camera's picture until a code is in it, or somebody has seen enough; the camera is closed again in any case. */
async function look(screen: HTMLVideoElement, over: AbortSignal, onCode: (code: string) => void): Promise<void> {
  const [reader, camera] = await Promise.all([codeReader(), navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' } })]);
  try {
    screen.srcObject = camera;
    if (!over.aborted) await screen.play();
    while (!over.aborted) {
      const code = await reader(screen);
      if (code && !over.aborted) return onCode(code);
      await new Promise((resolve) => setTimeout(resolve, lookEveryMs));
    }
  } finally {
    for (const track of camera.getTracks()) track.stop();
  }
}
