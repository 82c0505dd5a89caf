import { defineConfig } from 'prisma/config'

/** Only `prisma generate` is used; migrations are applied by src/store/migrate.ts. */
export default defineConfig({ schema: 'prisma/schema.prisma' })
