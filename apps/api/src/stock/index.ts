import { stockPart, stockPartChange, stockPartCreate, stockPartList, stockPartRules, vanStock, vanStockChange, vanStockCreate, vanStockList } from '@lintel/contract';
import type { WriteDefinition } from '../platform/resource/definition.js';
import { resource } from '../platform/resource/routes.js';
import { VanLoadsController } from './vanLoads.controller.js';

const room = 'stock';

export const stockParts: WriteDefinition = {
  path: 'stock-parts', room, resource: 'stock-parts', subject: 'stock-part', view: 'stock_part_list', record: stockPart, list: stockPartList,
  search: ['code', 'name'],
  model: 'stockPart',
  codecs: { cost: (value) => BigInt(value as number) },
  create: { schema: stockPartCreate },
  change: { schema: stockPartChange, rules: stockPartRules },
  archive: {
    async usedBy(db, partId) {
      const vans = await db.vanStock.count({ where: { partId, quantity: { gt: 0 } } });
      return vans > 0 ? `${vans} vans still carry this part.` : null;
    },
  },
};

export const vanStocks: WriteDefinition = {
  path: 'van-stock', room, resource: 'van-stock', subject: 'van-stock', view: 'van_stock_list', record: vanStock, list: vanStockList,
  search: ['partName', 'code', 'technicianName'], ownField: 'technicianId',
  model: 'vanStock',
  create: { schema: vanStockCreate },
  change: {
    schema: vanStockChange,
    async before(_db, _context, { given }) {
      given['countedAt'] = new Date();
    },
  },
};

export const stockRoom = { controllers: [...resource(stockParts), ...resource(vanStocks), VanLoadsController], providers: [] };
