// A process that projects the doors it is told to: address of the database as argument, pieces by messages.
import { projectDoors, Store } from '@lintel/store';

const store = Store.open({ appUrl: process.argv[2], poolSize: 4 });
process.on('message', ({ context, range: { from, to }, now }) => {
  projectDoors(store, context, { from, to }, { now: new Date(now) }).then(
    ({ projected, failed }) => process.send({ projected, failed: failed.length }),
    (error) => {
      console.error(error);
      process.exit(1);
    },
  );
});
process.on('disconnect', () => void store.close());
process.send('ready');
