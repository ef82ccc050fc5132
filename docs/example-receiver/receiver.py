"""Stores each fact that Meniscus sends and then says so. Needs python3-paho-mqtt.

receiver.py HOST PORT TOPIC FILE [CA]; user and password out of MQTT_USER and MQTT_PASSWORD.
"""
import json, os, sqlite3, sys
import paho.mqtt.client as mqtt

host, port, topic, file = sys.argv[1:5]
db = sqlite3.connect(file)
db.execute("PRAGMA synchronous = FULL")  # stored means: it outlasts a power cut
db.execute("CREATE TABLE IF NOT EXISTS facts (key TEXT PRIMARY KEY, place INTEGER, fact TEXT)")

def take(client, _, message):
    fact = json.loads(message.payload)
    up_to = db.execute("SELECT coalesce(max(place), 0) FROM facts").fetchone()[0]
    if fact["place"] == up_to + 1:  # an earlier one is here; after a gap all come once more
        with db:
            db.execute("INSERT INTO facts VALUES (?, ?, ?)", (fact["key"], up_to + 1, message.payload.decode()))
        up_to += 1
    client.publish(topic + "/stored", json.dumps({"stored_up_to": up_to}), qos=1)

client = mqtt.Client(protocol=mqtt.MQTTv5)
client.on_connect = lambda *_: client.subscribe(topic + "/facts", qos=1)
client.on_message = take
if "MQTT_USER" in os.environ:
    client.username_pw_set(os.environ["MQTT_USER"], os.environ["MQTT_PASSWORD"])
if len(sys.argv) > 5:
    client.tls_set(sys.argv[5])
client.reconnect_delay_set(1, 30)
client.connect(host, int(port))
client.loop_forever()
