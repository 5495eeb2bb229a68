import { count } from '@lintel/ui';
import { useEffect, useState } from 'react';
import { useDevice } from '../keep/device.js';
import { useDraft } from '../keep/drafts.js';
import { captured, dropImage, keepImage, scaledPhoto } from '../keep/images.js';
import { Refusal } from '../shell/faces.js';
import type { StepInputProps } from './types.js';

export function PhotoInput({ view, step, value, draftKey, onAnswer }: StepInputProps<'photograph'>) {
  const { draft, keep } = useDraft<string[]>(draftKey);
  const photoIds = draft ?? [...(value?.photoIds ?? [])];
  const least = step.least ?? 1;
  return (
    <div className="entry">
      <Photos orderId={view.order.id} stepId={step.id} photoIds={photoIds} onChange={keep} answered={value?.photoIds ?? []} />
      <button type="button" className="button first" disabled={photoIds.length === 0} onClick={() => void onAnswer({ kind: 'photograph', photoIds })}>
        Keep {count(photoIds.length, 'photograph')}{photoIds.length < least ? ` (${least} needed)` : ''}
      </button>
    </div>
  );
}

export interface PhotosProps {
  orderId: string;
  stepId: string | null;
  photoIds: readonly string[];
  onChange: (photoIds: string[]) => Promise<void>;
  /** Named by an answer already: they can leave this answer, not the device. */
  answered?: readonly string[];
}

/** Takes photographs, or files of them, and keeps each on the device before it is shown as taken. */
export function Photos({ orderId, stepId, photoIds, onChange, answered = [] }: PhotosProps) {
  const { database } = useDevice();
  const [said, setSaid] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);

  async function take(files: readonly File[]): Promise<void> {
    setBusy(true);
    setSaid(null);
    let ids = [...photoIds];
    try {
      for (const file of files) {
        const image = captured({ orderId, stepId, kind: 'photo', mediaType: 'image/jpeg', ...(await scaledPhoto(file)) });
        await keepImage(database, image);
        ids = [...ids, image.id];
        await onChange(ids);
      }
    } catch (error) {
      setSaid((error as Error).message);
    }
    setBusy(false);
  }

  async function remove(id: string): Promise<void> {
    await onChange(photoIds.filter((one) => one !== id));
    if (!answered.includes(id)) await dropImage(database, id);
  }

  return (
    <div className="photos">
      <ul>
        {photoIds.map((id, at) => (
          <li key={id}>
            <Thumbnail id={id} label={`Photograph ${at + 1}`} />
            <button type="button" className="button" aria-label={`Take away photograph ${at + 1}`} onClick={() => void remove(id)}>Take away</button>
          </li>
        ))}
      </ul>
      <label className="button file">
        {busy ? 'Keeping it…' : photoIds.length === 0 ? 'Take a photograph' : 'Another photograph'}
        <input type="file" accept="image/*" capture="environment" disabled={busy} aria-label="Take a photograph"
          onChange={(event) => { void take([...(event.target.files ?? [])]); event.target.value = ''; }} />
      </label>
      <Refusal>{said}</Refusal>
    </div>
  );
}

/** A picture that is on the device; one that is only on the server is asked there. */
export function Thumbnail({ id, label }: { id: string; label: string }) {
  const { database } = useDevice();
  const [address, setAddress] = useState<string | null>(null);
  useEffect(() => {
    let made: string | null = null;
    let over = false;
    void database.get('images', id).then((image) => {
      if (over) return;
      made = image ? URL.createObjectURL(image.blob) : null;
      setAddress(made ?? `/api/v1/work-images/${id}`);
    });
    return () => {
      over = true;
      if (made) URL.revokeObjectURL(made);
    };
  }, [database, id]);
  return address ? <img src={address} alt={label} className="thumb" /> : null;
}
