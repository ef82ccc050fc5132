/**
 * An outlet that speaks MQTT 5 (OASIS standard, 7 March 2019). Start with {@link
 * meniscus.drivers.mqtt.MqttOutlet}.
 *
 * <p>Here: topics, the connection and its encryption. Not here: which facts there are, what of them
 * was stored, and when to try again; the program knows. A jar of its own, with its library in it.
 */
package meniscus.drivers.mqtt;
