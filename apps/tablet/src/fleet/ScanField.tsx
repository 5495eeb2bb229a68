import { useState } from 'react';
import { Scanner } from './Scanner.js';

/** A field that can be typed, or filled by scanning a code. */
export function ScanField({ label, value, onChange }: { label: string; value: string; onChange: (value: string) => void }) {
  const [scanning, setScanning] = useState(false);
  const found = (code: string): void => {
    onChange(code);
    setScanning(false);
  };
  return (
    <div className="scan-field">
      <label>{label}<input autoComplete="off" autoCapitalize="characters" value={value} onChange={(event) => onChange(event.target.value)} /></label>
      <button type="button" className="button" aria-label={`Scan: ${label}`} onClick={() => setScanning(!scanning)}>Scan</button>
      {scanning ? <Scanner onCode={found} onClose={() => setScanning(false)} /> : null}
    </div>
  );
}
