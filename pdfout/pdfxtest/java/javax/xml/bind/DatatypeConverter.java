package javax.xml.bind;

import java.util.Calendar;
import javax.xml.datatype.DatatypeConfigurationException;
import javax.xml.datatype.DatatypeFactory;

/** The two conversions of XML Schema types that the validator calls. */
public final class DatatypeConverter {
    private DatatypeConverter() {}

    public static int parseInt(String s) {
        return Integer.parseInt(s.trim());
    }

    public static Calendar parseDateTime(String s) {
        try {
            return DatatypeFactory.newInstance().newXMLGregorianCalendar(s.trim()).toGregorianCalendar();
        } catch (DatatypeConfigurationException e) {
            throw new IllegalStateException(e);
        }
    }
}
