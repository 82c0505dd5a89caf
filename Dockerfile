FROM node:22-bookworm-slim AS build
WORKDIR /app
COPY package.json package-lock.json .npmrc ./
RUN npm ci --ignore-scripts
COPY . .
# What is optional are the embedded servers' programs; the image gets its servers by address.
RUN npm run generate && npm run build && npm prune --ignore-scripts --omit=dev --omit=optional

FROM node:22-bookworm-slim
ENV NODE_ENV=production
WORKDIR /app
# The volume of the backups takes its owner from here.
RUN install --directory --owner=node --group=node --mode=0700 /backups
# The program belongs to root and is run as node: it cannot change itself.
COPY --from=build /app/package.json ./
COPY --from=build /app/node_modules node_modules
COPY --from=build /app/prisma/migrations prisma/migrations
COPY --from=build /app/dist dist
USER node
EXPOSE 8080
STOPSIGNAL SIGTERM
ENTRYPOINT ["node", "dist/main/duebell.js"]
CMD ["serve"]
