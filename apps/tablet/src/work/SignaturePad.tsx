import { useEffect, useRef, useState } from 'react';
import type SignaturePad from 'signature_pad';
import { Refusal } from '../shell/faces.js';

/** Signs with a finger on paper: black on white in any light, so that it prints. */
export function Signature({ onSigned }: { onSigned: (blob: Blob, size: { width: number; height: number }, name: string) => Promise<void> }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const pad = useRef<SignaturePad | null>(null);
  const [name, setName] = useState('');
  const [said, setSaid] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);

  useEffect(() => {
    const place = canvas.current!;
    let over = false;
    void import('signature_pad').then(({ default: Pad }) => {
      if (over) return;
      place.width = place.clientWidth * 2;
      place.height = place.clientHeight * 2;
      place.getContext('2d')!.scale(2, 2);
      pad.current = new Pad(place, { backgroundColor: '#ffffff', penColor: '#14232e', minWidth: 1.2, maxWidth: 3.2 });
      place.dataset['ready'] = 'true';
    });
    return () => {
      over = true;
      pad.current?.off();
    };
  }, []);

  async function sign(): Promise<void> {
    const place = canvas.current!;
    if (name.trim() === '') return setSaid('Write the name of whoever signs.');
    if (!pad.current || pad.current.isEmpty()) return setSaid('Nobody has signed yet.');
    setBusy(true);
    const blob = await new Promise<Blob | null>((done) => place.toBlob(done, 'image/png'));
    try {
      if (blob) await onSigned(blob, { width: place.width, height: place.height }, name.trim());
      setSaid(null);
    } catch (error) {
      setSaid((error as Error).message);
    }
    setBusy(false);
  }

  return (
    <div className="signature">
      <label>Name of whoever signs<input autoComplete="name" value={name} onChange={(event) => setName(event.target.value)} /></label>
      <canvas ref={canvas} aria-label="Place to sign" />
      <div className="answers">
        <button type="button" className="button" onClick={() => pad.current?.clear()}>Wipe it</button>
        <button type="button" className="button first" disabled={busy} onClick={() => void sign()}>Keep the signature</button>
      </div>
      <Refusal>{said}</Refusal>
    </div>
  );
}
